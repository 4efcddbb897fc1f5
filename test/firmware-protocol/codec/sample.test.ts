import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  crcHex,
  formatLine,
  formatSample,
  parseLine,
  parseSample,
  WireFormatError,
} from '../../../firmware-protocol/codec/index.ts';

const sample = fc.record({
  counter: fc.integer({ min: 0, max: 200_000 }),
  positionUm: fc.integer({ min: -99_999, max: 999_999 }),
  clockUs: fc.integer({ min: 0, max: 4_294_967_295 }),
  wiperCounts: fc.integer({ min: -999_999, max: 8_388_607 }),
});

describe('samples', () => {
  test('come back as they went, the counter modulo 65,536', () => {
    fc.assert(
      fc.property(sample, (given) => {
        const text = formatSample(given);
        expect(parseSample(text.slice(0, -1))).toEqual({
          ok: true,
          sample: { ...given, counter: given.counter % 65_536 },
        });
      }),
    );
  });

  test('the fast writer writes what the general one writes', () => {
    fc.assert(
      fc.property(sample, (given) => {
        const { positionUm, clockUs, wiperCounts } = given;
        const values = [positionUm, clockUs, wiperCounts];
        const general = formatLine({ kind: 'sample', number: given.counter % 65_536, values });
        expect(formatSample(given)).toBe(general);
      }),
    );
  });

  test('the fast reader takes and refuses exactly what the general one does', () => {
    const token = fc.oneof(
      fc.integer({ min: -5_000_000_000, max: 5_000_000_000 }).map(String),
      fc.constantFrom('', '-', '-0', '0', '00', '01', '+1', '1.5', '1e3', 'k=1', '99999999999', '-2147483649'),
      fc.stringMatching(/^[ -~]{0,4}$/),
    );
    const body = fc
      .tuple(fc.stringMatching(/^[.<]?[0-9A-Fa-f]{3,5}$/), fc.array(token, { maxLength: 18 }))
      .map(([head, tokens]) => [head, ...tokens].join(' '));
    const text = fc.oneof(
      body.map((inner) => `${inner} ${crcHex(inner)}`),
      body,
      fc.string(),
    );
    fc.assert(
      fc.property(text, (given) => {
        const general = parseLine(given);
        const fast = parseSample(given);
        if (general.ok && general.line.kind === 'sample') {
          const [positionUm, clockUs, wiperCounts] = general.line.values;
          expect(fast).toEqual({
            ok: true,
            sample: { counter: general.line.number, positionUm, clockUs, wiperCounts },
          });
        } else expect(fast).toEqual({ ok: false, reason: general.ok ? 'shape' : general.reason });
      }),
      { numRuns: 10_000 },
    );
  });

  test.each([
    { counter: -1, positionUm: 0, clockUs: 0, wiperCounts: 0 },
    { counter: 0, positionUm: 0.5, clockUs: 0, wiperCounts: 0 },
    { counter: 0, positionUm: 0, clockUs: 4_294_967_296, wiperCounts: 0 },
    { counter: 0, positionUm: 0, clockUs: 0, wiperCounts: Number.NaN },
  ])('refuses to write %o', (given) => {
    expect(() => formatSample(given)).toThrow(WireFormatError);
  });
});
