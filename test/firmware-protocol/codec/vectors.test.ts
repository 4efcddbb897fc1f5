import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { checkOrder, parseLine, parseSample, refusals, words } from '../../../firmware-protocol/codec/index.ts';
import { withTables } from '../../../firmware-protocol/generate/tables.ts';
import type { ExchangeVector, Expected, Vectors } from '../../../firmware-protocol/generate/vector-types.ts';
import { vectorsText } from '../../../firmware-protocol/generate/vectors.ts';
import { readAll } from './read-all.ts';
import { ScriptedRig } from './scripted-rig.ts';

const read = (path: string): string =>
  readFileSync(new URL(`../../../firmware-protocol/${path}`, import.meta.url), 'utf8');
const vectors: Vectors = JSON.parse(read('vectors.json'));

describe('the written protocol is current', () => {
  test('vectors.json is what the generator writes', () => {
    expect(read('vectors.json')).toBe(vectorsText());
  });
  test("SPEC.md's tables are what the codec says", () => {
    expect(read('SPEC.md')).toBe(withTables(read('SPEC.md')));
  });
  test('every word and every refusal has a golden line', () => {
    const seen = new Set(vectors.lines.map(({ expect: result }) => (result.ok ? result.line.word : null)));
    for (const { word } of words) expect(seen).toContain(word);
    for (const code of Object.keys(refusals)) expect(seen).toContain(code);
  });
});

describe('golden lines', () => {
  test.each(vectors.lines)('$name', (vector) => {
    expect(vector.bytes.indexOf('\n')).toBe(vector.bytes.length - 1);
    const text = vector.bytes.slice(0, -1);
    const parsed = parseLine(text);
    expect(parsed).toEqual(vector.expect);
    if (vector.order !== undefined && parsed.ok) expect(checkOrder(parsed.line)).toEqual(vector.order);
    if (text.startsWith('.')) expect(parseSample(text).ok).toBe(vector.expect.ok);
  });
});

describe('golden streams', () => {
  test.each(vectors.streams)('$name', async ({ bytes, lines }) => {
    const found = await readAll([Buffer.from(bytes, 'latin1')]);
    expect(found.good).toEqual(lines);
  });
});

/** Replays one exchange and returns every line the rig sent, step by step. */
function replay(exchange: ExchangeVector, rig: ScriptedRig): void {
  const matched: string[][] = [];
  for (const [index, step] of exchange.steps.entries()) {
    const place = `step ${index}: ${step.send ?? 'wait'}`;
    if (index === 0) rig.restart();
    else if (step.restart) rig.restart();
    if (step.locks !== undefined) rig.setLocks(step.locks);
    if (step.send !== undefined) rig.receive(step.send.slice(0, -1));
    if (step.quiet) rig.silence();
    if (step.send === undefined && step.locks === undefined && step.restart === undefined) rig.settle();
    const lines = rig.out.splice(0);
    const taken: string[] = [];
    for (const wanted of step.expect) {
      const line = nextLine(lines, wanted, place);
      taken.push(line);
      if ('exact' in wanted) expect(line, place).toBe(wanted.exact);
      else if ('again' in wanted) expect(line, place).toBe(matched[wanted.again]?.[0]);
      else expect(parseLine(line.slice(0, -1)), place).toMatchObject({ ok: true, line: wanted.like });
    }
    expect(
      lines.filter((line) => !line.startsWith('*')),
      place,
    ).toEqual([]);
    matched.push(taken);
  }
}

function nextLine(lines: string[], wanted: Expected, place: string): string {
  const wantsEvent = 'like' in wanted && wanted.like.kind === 'event';
  for (;;) {
    const line = lines.shift();
    if (line === undefined) throw new Error(`${place}: the rig sent nothing where ${JSON.stringify(wanted)} was due`);
    const isOther = wantsEvent && !line.includes(` ${wanted.like.word} `);
    if (line.startsWith('*') ? wantsEvent && !isOther : true) return line;
  }
}

describe('golden exchanges', () => {
  test.each(vectors.exchanges)('$name', (exchange) => {
    const rig = new ScriptedRig();
    replay(exchange, rig);
    for (const [number, times] of rig.executions) expect(times, `order ${number}`).toBe(1);
  });
});
