import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { buildLaw } from '../../src/law/build.ts';
import {
  addLossDb,
  lossFromRatio,
  ratioFromLoss,
  toleranceFromFraction,
  trackingErrorDb,
} from '../../src/law/decibel.ts';
import {
  loadErrorDb,
  loadErrorRatio,
  loadedLossDb,
  loadedRatio,
  lossAtLawLoad,
  unloadedLossDb,
  unloadedRatio,
  worstLoadErrorDb,
  worstLoadErrorRatio,
} from '../../src/law/load.ts';
import { LawDomainError } from '../../src/law/problems.ts';
import {
  cubeTaper,
  exponentialTaper,
  linearTaper,
  linearWithResistorTaper,
  printedTaper,
  pureLogTaper,
  reversedTaper,
  reverseLinearWithResistorTaper,
  squareTaper,
  twoSlopeTaper,
} from '../../src/law/taper.ts';
import { plainLaw } from './published-laws.ts';

const share = fc.double({ min: 0, max: 1, noNaN: true });
const load = fc.double({ min: 0.01, max: 1e6, noNaN: true });

describe('decibels', () => {
  test('a ratio of zero or less has no finite loss and stays a gap', () => {
    expect([lossFromRatio(0), lossFromRatio(-0), lossFromRatio(-1e-9)]).toEqual([null, null, null]);
    expect(addLossDb(3, null, 2)).toBeNull();
    expect(trackingErrorDb(0, 0.5)).toBeNull();
  });

  test('full output is a loss of exactly 0, more than full output a negative one', () => {
    expect(Object.is(lossFromRatio(1), 0)).toBe(true);
    expect(lossFromRatio(1.01)).toBeLessThan(0);
  });

  test.each([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])('%s is a defect, not a gap', (value) => {
    expect(() => lossFromRatio(value)).toThrow(LawDomainError);
    expect(() => ratioFromLoss(value)).toThrow(LawDomainError);
  });

  test('ratio to loss and back', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-12, max: 2, noNaN: true }), (ratio) => {
        const loss = lossFromRatio(ratio);
        if (loss === null) throw new Error('a positive ratio has a loss');
        expect(Math.abs(ratioFromLoss(loss) / ratio - 1)).toBeLessThan(1e-13);
      }),
    );
  });

  test('a tolerance in percent of value is wider downwards than upwards', () => {
    const { minusDb, plusDb } = toleranceFromFraction(0.2);
    expect(ratioFromLoss(-minusDb)).toBeCloseTo(1.2, 12);
    expect(ratioFromLoss(plusDb)).toBeCloseTo(0.8, 12);
    expect(() => toleranceFromFraction(20)).toThrow(LawDomainError);
  });
});

describe('load', () => {
  test('agrees with the circuit solved by its conductances', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 0.999, noNaN: true }), load, (k, m) => {
        // Rp = 1: upper part 1 - k, lower part k in parallel with m.
        const ratio = 1 / (1 - k) / (1 / (1 - k) + 1 / k + 1 / m);
        expect(Math.abs(loadedRatio(k, m) / ratio - 1)).toBeLessThan(1e-12);
      }),
    );
  });

  test('is taken out exactly', () => {
    fc.assert(
      fc.property(share, load, (y0, m) => {
        expect(Math.abs(unloadedRatio(loadedRatio(y0, m), m) - y0)).toBeLessThan(1e-12);
      }),
    );
  });

  test('keeps its digits near the closed end', () => {
    expect(unloadedRatio(loadedRatio(1e-9, 0.05), 0.05) / 1e-9).toBeCloseTo(1, 12);
    expect(unloadedRatio(0, 5)).toBe(0);
  });

  test('noise a little beyond both ends is carried through, nonsense is refused', () => {
    expect(unloadedRatio(1.000_01, 1000)).toBeCloseTo(1.000_01, 7);
    expect(unloadedRatio(-1e-6, 1000)).toBeCloseTo(-1e-6, 9);
    expect(() => unloadedRatio(2, 10)).toThrow(LawDomainError);
    expect(() => loadedRatio(Number.NaN, 10)).toThrow(LawDomainError);
  });

  test.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])('a load of %s times the track is refused', (m) => {
    expect(() => loadedRatio(0.5, m)).toThrow(LawDomainError);
    expect(() => unloadedRatio(0.5, m)).toThrow(LawDomainError);
    expect(() => worstLoadErrorRatio(m)).toThrow(LawDomainError);
  });

  test('always reads low, and nowhere lower than the stated worst', () => {
    fc.assert(
      fc.property(share, load, (y0, m) => {
        const error = loadErrorRatio(y0, m);
        expect(error).toBeGreaterThanOrEqual(-1e-15);
        expect(error).toBeLessThanOrEqual(worstLoadErrorRatio(m).errorRatio + 1e-12);
        expect(loadErrorDb(y0, m)).toBeLessThanOrEqual(worstLoadErrorDb(m));
      }),
    );
  });

  test('in dB: loaded and unloaded loss are inverse, and differ by the load error', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 100, noNaN: true }), load, (lossDb, m) => {
        const loaded = loadedLossDb(lossDb, m);
        if (loaded === null) throw new Error('a finite loss stays finite');
        expect(loaded - lossDb).toBeCloseTo(loadErrorDb(ratioFromLoss(lossDb), m), 9);
        expect(unloadedLossDb(loaded, m)).toBeCloseTo(lossDb, 9);
      }),
    );
    expect([loadedLossDb(null, 5), unloadedLossDb(null, 5)]).toEqual([null, null]);
  });

  test('an unloaded measurement is brought to the load the law is stated for', () => {
    const loadedLaw = buildLaw({ ...plainLaw(), loadOhm: 50_000 });
    expect(lossAtLawLoad(loadedLaw, 6.0206, 10_000)).toBeCloseTo(6.0206 + 20 * Math.log10(1 + 0.25 / 5), 6);
    expect(lossAtLawLoad(buildLaw(plainLaw()), 6.0206, 10_000)).toBe(6.0206);
    expect(lossAtLawLoad(loadedLaw, null, 10_000)).toBeNull();
    expect(() => lossAtLawLoad(loadedLaw, 6, 0)).toThrow(LawDomainError);
  });
});

describe('tapers', () => {
  const tapers = {
    linear: linearTaper,
    'audio 15 %': exponentialTaper(0.15),
    'exponential 50 %': exponentialTaper(0.5),
    'reverse audio': reversedTaper(exponentialTaper(0.1)),
    'two-slope': twoSlopeTaper(0.15),
    'three-slope': printedTaper([
      { x: 0.33, y: 0.05 },
      { x: 0.66, y: 0.25 },
    ]),
    square: squareTaper,
    cube: cubeTaper,
    'linear with resistor': linearWithResistorTaper(1 / 6),
    'reverse with resistor': reverseLinearWithResistorTaper(0.2),
  };

  test.each(Object.entries(tapers))('%s runs from true zero to one without falling', (_name, y) => {
    expect([y(0), y(1)]).toEqual([expect.closeTo(0, 12), expect.closeTo(1, 12)]);
    fc.assert(
      fc.property(share, share, (a, b) => {
        expect(y(Math.max(a, b))).toBeGreaterThanOrEqual(y(Math.min(a, b)) - 1e-15);
      }),
    );
  });

  test('the ratio at half travel is the one asked for', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 0.99, noNaN: true }), (mid) => {
        expect(exponentialTaper(mid)(0.5)).toBeCloseTo(mid, 9);
        expect(twoSlopeTaper(mid)(0.5)).toBeCloseTo(mid, 12);
      }),
    );
  });

  test('pure log never reaches zero', () => {
    expect(pureLogTaper(60)(0)).toBeCloseTo(0.001, 12);
  });

  test('reversing twice gives the taper back', () => {
    fc.assert(
      fc.property(share, (x) => {
        expect(reversedTaper(reversedTaper(cubeTaper))(x)).toBeCloseTo(cubeTaper(x), 12);
      }),
    );
  });

  test.each([
    () => linearTaper(1.01),
    () => linearTaper(Number.NaN),
    () => exponentialTaper(0),
    () => exponentialTaper(15),
    () => twoSlopeTaper(1),
    () => pureLogTaper(0),
    () => linearWithResistorTaper(0),
    () => printedTaper([{ x: 0, y: 0.1 }]),
    () => printedTaper([{ x: 0.5, y: 1.1 }]),
  ])('nonsense is refused (%#)', (make) => {
    expect(make).toThrow(LawDomainError);
  });
});
