import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatLine, MAX_LINE_BYTES, parseLine, WireFormatError } from '../../../firmware-protocol/codec/index.ts';
import { arbitraryDraft } from './arbitrary-lines.ts';

describe('lines', () => {
  test('what is written is read back, field by field', () => {
    fc.assert(
      fc.property(arbitraryDraft, (draft) => {
        const text = formatLine(draft);
        expect(text.length).toBeLessThanOrEqual(MAX_LINE_BYTES);
        expect(text).toMatch(/^[\x20-\x7e]+\n$/);
        const line = { word: null, fields: {}, texts: {}, values: [], ...draft };
        expect(parseLine(text.slice(0, -1))).toEqual({ ok: true, line });
      }),
      { numRuns: 2000 },
    );
  });

  test('what is read is written back, byte for byte', () => {
    fc.assert(
      fc.property(arbitraryDraft, (draft) => {
        const text = formatLine(draft);
        const parsed = parseLine(text.slice(0, -1));
        expect(parsed.ok && formatLine(parsed.line)).toBe(text);
      }),
    );
  });

  test('reading never throws, whatever the text', () => {
    const anything = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 200 }),
      fc.string({ maxLength: 120 }),
      fc.stringMatching(/^[>~<%!*.][0-9A-F]{4}( [a-z]{1,10})?( [a-z]{1,4}=-?[0-9]{0,11}){0,6} [0-9A-F]{4}$/),
    );
    fc.assert(
      fc.property(anything, (text) => {
        const result = parseLine(text);
        if (!result.ok) expect(['length', 'charset', 'crc', 'shape']).toContain(result.reason);
      }),
      { numRuns: 5000 },
    );
  });

  test.each([
    [
      'too long',
      { kind: 'answer', number: 1, fields: Object.fromEntries('abcdefgh'.split('').map((k) => [k, -1_000_000_000])) },
    ],
    [
      'more than 16 fields',
      { kind: 'answer', number: 1, fields: Object.fromEntries('abcdefghijklmnopq'.split('').map((k) => [k, 1])) },
    ],
    ['number beyond 16 bits', { kind: 'order', number: 65_536, word: 'home' }],
    ['number not whole', { kind: 'order', number: 1.5, word: 'home' }],
    ['value not whole', { kind: 'order', number: 1, word: 'visit', fields: { x: 0.5 } }],
    ['value not a number', { kind: 'order', number: 1, word: 'visit', fields: { x: Number.NaN } }],
    ['value beyond 32 bits', { kind: 'order', number: 1, word: 'visit', fields: { x: 4_294_967_296 } }],
    ['no word', { kind: 'order', number: 1 }],
    ['word where none belongs', { kind: 'answer', number: 1, word: 'fine' }],
    ['word that would break the line', { kind: 'order', number: 1, word: 'home\n>0002 park' }],
    ['key that would break the line', { kind: 'answer', number: 1, fields: { 'a b': 1 } }],
    ['text that would break the line', { kind: 'answer', number: 1, texts: { rig: 'a b' } }],
    ['text under a key for integers', { kind: 'answer', number: 1, texts: { x: 'far' } }],
    ['integer under a key for texts', { kind: 'answer', number: 1, fields: { rig: 7 } }],
    ['text in an order', { kind: 'order', number: 1, word: 'hello', texts: { rig: 'me' } }],
    ['sample of two values', { kind: 'sample', number: 1, values: [1, 2] }],
    ['values outside a sample', { kind: 'answer', number: 1, values: [1, 2, 3] }],
  ] as const)('refuses to write: %s', (_name, draft) => {
    expect(() => formatLine(draft)).toThrow(WireFormatError);
  });

  test('minus nought is written as nought', () => {
    const text = formatLine({ kind: 'order', number: 1, word: 'visit', fields: { x: -0 } });
    expect(text).toContain(' x=0 ');
  });
});
