import fc from 'fast-check';
import { standardDeviation } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import {
  decodeGlideEnd,
  decodeLimits,
  decodeReading,
  decodeStatus,
  encodeGlideEnd,
  encodeLimitsPage,
  encodeReading,
  encodeStatus,
  formatLine,
  LIMIT_PAGES,
  motionStates,
  WireFieldsError,
  WireFormatError,
  WireLimitsError,
} from '../../../firmware-protocol/codec/index.ts';
import { someLimits } from './scripted-rig.ts';

const without = (fields: Record<string, number>, key: string): Record<string, number> =>
  Object.fromEntries(Object.entries(fields).filter(([name]) => name !== key));

describe('readings', () => {
  const near = fc
    .tuple(
      fc.integer({ min: -900_000, max: 8_300_000 }),
      fc.array(fc.integer({ min: -2000, max: 2000 }), { minLength: 1, maxLength: 99 }),
    )
    .map(([centre, offsets]) => offsets.map((offset) => centre + offset));

  test('carry mean and standard deviation exactly', () => {
    fc.assert(
      fc.property(near, (wiper) => {
        const track = wiper.map((_, index) => 8_000_000 + (index % 7));
        const reading = decodeReading(encodeReading({ wiper, track }, 52_000, 4_294_967_297, false));
        const mean = wiper.reduce((sum, value) => sum + value, 0) / wiper.length;
        expect(reading.wiperMean).toBeCloseTo(mean, 6);
        expect(reading.trackMean).toBeCloseTo(track.reduce((sum, value) => sum + value, 0) / track.length, 6);
        expect(reading).toMatchObject({ positionUm: 52_000, clockUs: 1, conversions: wiper.length, overRange: false });
        if (wiper.length === 1) expect(reading.wiperSd).toBeNull();
        else {
          // simple-statistics divides by N, the wire by N-1.
          const sd = standardDeviation(wiper) * Math.sqrt(wiper.length / (wiper.length - 1));
          expect(reading.wiperSd).toBeCloseTo(sd, 5);
        }
      }),
    );
  });

  test('never need more than one line, whatever the conversions', () => {
    const counts = fc.array(fc.integer({ min: -8_388_608, max: 8_388_607 }), { minLength: 1, maxLength: 99 });
    fc.assert(
      fc.property(counts, fc.boolean(), (wiper, overRange) => {
        const fields = encodeReading({ wiper, track: [...wiper].reverse() }, 999_999, 4_294_967_295, overRange);
        expect(formatLine({ kind: 'answer', number: 0xffff, fields }).length).toBeLessThanOrEqual(96);
        const reading = decodeReading(fields);
        expect(reading.overRange || !overRange).toBe(true);
      }),
    );
  });

  test('clipped or saturated conversions are marked and have no standard deviation to trust', () => {
    const track = [8_000_000, 8_000_000];
    const below = decodeReading(encodeReading({ wiper: [-5_000_000, -5_000_000], track }, 0, 0, false));
    expect(below.overRange).toBe(true);
    const wide = decodeReading(encodeReading({ wiper: [0, 8_000_000], track }, 0, 0, false));
    expect(wide).toMatchObject({ overRange: true, wiperSd: null });
  });

  const good = encodeReading({ wiper: [100, 103, 98], track: [900, 900, 901] }, 5, 6, false);

  test.each(Object.keys(good))('without %s is no reading', (key) => {
    expect(() => decodeReading(without(good, key))).toThrow(WireFieldsError);
  });

  test.each([
    ['squares smaller than the sum allows', { q: 0 }],
    ['squares odd while the sum is odd no more', { s: 2 }],
    ['no conversions', { n: 0 }],
    ['a hundred conversions', { n: 100 }],
    ['one conversion that differs from itself', { n: 1 }],
    ['negative squares', { q: -1 }],
    ['a sum at its end without the mark', { s: 9_999_999, q: 4_294_967_295 }],
    ['a sum beyond its end', { z: 1_000_000 }],
    ['counts beyond the converter', { k: 8_388_608 }],
    ['a mark that is neither 0 nor 1', { o: 2 }],
    ['a negative clock', { c: -1 }],
  ])('with %s is refused', (_name, change) => {
    expect(() => decodeReading({ ...good, ...change })).toThrow(WireFieldsError);
  });

  test.each([
    ['no conversions', [], []],
    ['unequal channels', [1, 2], [1]],
    ['fractions', [1.5], [1]],
    ['a hundred', Array.from({ length: 100 }, () => 1), Array.from({ length: 100 }, () => 1)],
  ])('cannot be made from %s', (_name, wiper, track) => {
    expect(() => encodeReading({ wiper, track }, 0, 0, false)).toThrow(WireFormatError);
  });

  test('the end of a glide', () => {
    const fields = encodeGlideEnd({ positionUm: 103_000, clockUs: 5e9, samplesSent: 70_000, trackMean: 8_000_000.4 });
    expect(decodeGlideEnd(fields)).toEqual({
      positionUm: 103_000,
      clockUs: 5e9 - 2 ** 32,
      samplesSent: 70_000,
      trackMean: 8_000_000,
    });
    expect(() => decodeGlideEnd(without(fields, 'n'))).toThrow(WireFieldsError);
    expect(() => decodeGlideEnd({ ...fields, n: -1 })).toThrow(WireFieldsError);
  });
});

describe('status', () => {
  const status = fc.record({
    positionUm: fc.integer({ min: -99_999, max: 999_999 }),
    clockUs: fc.integer({ min: 0, max: 4_294_967_295 }),
    motion: fc.constantFrom(...motionStates),
    guardClosed: fc.boolean(),
    emergencyStopReleased: fc.boolean(),
    clampClosed: fc.boolean(),
    lastOrder: fc.integer({ min: 0, max: 65_535 }),
  });

  test('comes back as it went', () => {
    fc.assert(
      fc.property(status, (given) => {
        expect(decodeStatus(encodeStatus(given))).toEqual(given);
      }),
    );
  });

  test('motion states have their numbers for ever', () => {
    expect(motionStates).toEqual(['unpowered', 'unhomed', 'still', 'moving', 'stopped']);
  });

  const good = { x: 0, c: 0, m: 2, g: 1, e: 1, p: 1, o: 7 };

  test.each(Object.keys(good))('without %s is refused: nothing is assumed safe', (key) => {
    expect(() => decodeStatus(without(good, key))).toThrow(WireFieldsError);
  });

  test.each([{ m: 5 }, { m: -1 }, { g: 2 }, { e: -1 }, { p: 7 }, { o: 65_536 }])('with %o is refused', (change) => {
    expect(() => decodeStatus({ ...good, ...change })).toThrow(WireFieldsError);
  });
});

describe('limits', () => {
  const pages = Array.from({ length: LIMIT_PAGES }, (_, page) => encodeLimitsPage(someLimits, page) ?? {});

  test('come back as they went, unknown keys ignored', () => {
    expect(decodeLimits([...pages, { zz: 9, more: 0 }])).toEqual(someLimits);
  });

  test('only the last page says that there is no more', () => {
    expect(pages.map((page) => page.more)).toEqual([1, 1, 1, 0]);
    expect(encodeLimitsPage(someLimits, LIMIT_PAGES)).toBeNull();
    expect(encodeLimitsPage(someLimits, -1)).toBeNull();
  });

  test('every page fits a line with the largest values', () => {
    const largest = Object.fromEntries(Object.keys(someLimits).map((name) => [name, 4_294_967_295]));
    for (let page = 0; page < LIMIT_PAGES; page += 1) {
      const fields = encodeLimitsPage({ ...someLimits, ...largest }, page) ?? {};
      expect(formatLine({ kind: 'answer', number: 0xffff, fields }).length).toBeLessThanOrEqual(96);
    }
  });

  test('a missing limit is named', () => {
    const act = (): unknown => decodeLimits([pages[0] ?? {}, without(pages[1] ?? {}, 'vc')]);
    expect(act).toThrow(WireLimitsError);
    expect(act).toThrow(/creepSpeedMaxUmPerS.*watchdogUs/);
  });

  test.each([
    ['no watchdog', { wd: 0 }],
    ['negative speed', { vm: -1 }],
    ['travel of nothing', { xh: -1000 }],
    ['integration upside down', { th: 1 }],
  ])('senseless limits are named: %s', (_name, change) => {
    expect(() => decodeLimits([...pages, change])).toThrow(WireLimitsError);
  });
});
