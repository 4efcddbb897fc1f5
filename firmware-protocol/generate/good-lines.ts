/** Golden lines that must be read: every word, answer, refusal and event, at the ends of their ranges. */

import { LIMITS_PER_PAGE, limitKeys } from '../codec/limits.ts';
import { formatLine, type WireLineDraft } from '../codec/line.ts';
import { readingLimits } from '../codec/reading.ts';
import { refusals } from '../codec/refusals.ts';
import { formatSample } from '../codec/sample.ts';
import { words } from '../codec/words.ts';
import type { Direction, LineVector } from './vector-types.ts';

export function goodLines(): LineVector[] {
  return [...orders(), ...answers(), ...refusalLines(), ...events(), ...samples()];
}

function good(name: string, direction: Direction, draft: WireLineDraft, withOrder = false): LineVector {
  const line = { word: null, fields: {}, texts: {}, values: [], ...draft };
  const vector = { name, direction, bytes: formatLine(draft), expect: { ok: true, line } } as const;
  return withOrder ? { ...vector, order: null } : vector;
}

function orders(): LineVector[] {
  return words.flatMap((spec, index) => {
    const { kind, word } = spec;
    if (kind === 'event') return [];
    const number = 0x0100 + index;
    const ends = (end: 'min' | 'max'): WireLineDraft => ({
      kind,
      number,
      word,
      fields: Object.fromEntries(spec.fields.map((field) => [field.key, field[end]])),
    });
    if (spec.fields.length === 0) return [good(word, 'toRig', ends('min'), true)];
    return [
      good(`${word}, lowest values`, 'toRig', ends('min'), true),
      good(`${word}, highest values`, 'toRig', ends('max'), true),
    ];
  });
}

function answers(): LineVector[] {
  const answer = (name: string, fields: Record<string, number>, texts: Record<string, string> = {}): LineVector =>
    good(name, 'toStation', { kind: 'answer', number: 0x0fff, fields, texts });
  const reading = { x: 52_000, c: 1_250_000, k: 4_194_304, s: -12, q: 62, r: 8_388_000, z: 3, n: 8, o: 0 };
  const { countsMax, wiperSumMax, wiperSquaresMax, trackSumMax, conversionsMax } = readingLimits;
  const limits = Array.from({ length: LIMITS_PER_PAGE }, (_, index) => [limitKeys[index]?.[0] ?? '', 4_294_967_295]);
  return [
    answer('answer of hello', { v: 1, lo: 1, hi: 2, sim: 0 }, { rig: 'bench-1', ser: '00017', fw: '1.4.0' }),
    answer(
      'answer of hello, longest, exactly 96 bytes',
      { v: 65_535, lo: 10_000, hi: 65_535, sim: 1 },
      { rig: 'ABCDEFGHIJKLMNOPQRST', ser: 'abcdefgxyz', fw: '12345.6_-' },
    ),
    answer('answer of limits, longest page', { ...Object.fromEntries(limits), more: 1 }),
    answer('answer of power: status, unpowered', { x: 0, c: 0, m: 0, g: 0, e: 0, p: 0, o: 0 }),
    answer('answer of beat: longest status', { x: -99_999, c: 4_294_967_295, m: 4, g: 1, e: 1, p: 1, o: 65_535 }),
    answer('answer of visit: reading', reading),
    answer('answer of sense: one conversion', { ...reading, s: 0, q: 0, z: 0, n: 1 }),
    answer('answer of visit: longest reading, exactly 96 bytes', {
      x: 999_999,
      c: 4_294_967_295,
      k: countsMax,
      s: -wiperSumMax,
      q: wiperSquaresMax,
      r: countsMax,
      z: -trackSumMax,
      n: conversionsMax,
      o: 1,
    }),
    answer('answer of glide', { x: 103_000, c: 4_294_967_295, n: 70_000, r: 8_388_000 }),
    answer('answer with fields of a later version', { x: 1, c: 2, m: 2, g: 1, e: 1, p: 1, o: 7, new1: -2_147_483_648 }),
    answer('answer without fields', {}),
    good('still working', 'toStation', { kind: 'working', number: 0xffff }),
  ];
}

function refusalLines(): LineVector[] {
  const extra: Record<string, Partial<WireLineDraft>> = {
    field: { texts: { at: 'w' } },
    range: { texts: { at: 'page' } },
    version: { fields: { lo: 2, hi: 3 } },
  };
  return [
    ...Object.keys(refusals).map((word) =>
      good(`refusal ${word}`, 'toStation', { kind: 'refusal', number: 0x00a1, word, ...extra[word] }),
    ),
    good('refusal with a code of a later version', 'toStation', { kind: 'refusal', number: 0, word: 'overheated' }),
  ];
}

function events(): LineVector[] {
  const event = (name: string, word: string, fields: Record<string, number> = {}): LineVector =>
    good(name, 'toStation', { kind: 'event', number: 3, word, fields });
  return [
    event('event awake', 'awake'),
    event('event locks, guard open', 'locks', { g: 0, e: 1, p: 1 }),
    event('event stall', 'stall', { x: 48_211 }),
    event('event silent', 'silent', { x: -120 }),
    event('event of a later version', 'warm', { deg: 61 }),
  ];
}

function samples(): LineVector[] {
  const sample = (name: string, number: number, values: readonly [number, number, number]): LineVector => {
    const [positionUm, clockUs, wiperCounts] = values;
    const bytes = formatSample({ counter: number, positionUm, clockUs, wiperCounts });
    const line = { kind: 'sample', number, word: null, fields: {}, texts: {}, values } as const;
    return { name, direction: 'toStation', bytes, expect: { ok: true, line } };
  };
  return [
    sample('sample, first', 0, [0, 0, 0]),
    sample('sample, negative', 1, [-850, 17_250_000, -12]),
    sample('sample, longest', 65_535, [999_999, 4_294_967_295, 8_388_607]),
    good('sample with a value of a later version', 'toStation', {
      kind: 'sample',
      number: 9,
      values: [52_340, 1_839_203, 4_195_022, 8_388_001],
    }),
  ];
}
