import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { shareOfLimit, worstZone, type Zone, zoneOf } from '../../src/verdict/zones.ts';
import reference from '../reference/uncertainty-conformity.json' with { type: 'json' };

const number = fc.double({ min: -100, max: 100, noNaN: true });
const positive = fc.double({ min: 0, max: 50, noNaN: true });
const rank: Readonly<Record<Zone, number>> = { pass: 0, doubt: 1, fail: 2, void: 3 };

describe('zones', () => {
  it.each(reference.iso14253Rule.cases)('ISO 14253-1: $value in $lower..$upper, U $uncertainty: $zone', (one) => {
    expect(zoneOf(one)).toBe(one.zone);
  });

  it('a pass at the guarded limit is a conformance probability of at least 97.7 % (JCGM 106)', () => {
    const { lowerLimit, value, standardUncertainty, conformanceProbability } = reference.jcgm106Container;
    const probability = normalBelow((value - lowerLimit) / standardUncertainty);
    expect(probability).toBeCloseTo(conformanceProbability, 5);
    const limits = { lower: lowerLimit, upper: null, uncertainty: 2 * standardUncertainty };
    expect(zoneOf({ value, ...limits })).toBe('pass');
    expect(normalBelow(2)).toBeGreaterThan(0.977);
  });

  it('gives the risks of the resistor example of JCGM 106 when the rule is applied to a whole process', () => {
    const one = reference.jcgm106Resistors;
    const strict = risks((value) =>
      zoneOf({ value, lower: -one.toleranceOhm, upper: one.toleranceOhm, uncertainty: 2 * one.standardUncertaintyOhm }),
    );
    expect(strict.consumer).toBeCloseTo(one.strictGuardBand.consumerRisk, 5);
    expect(strict.producer).toBeCloseTo(one.strictGuardBand.producerRisk, 4);
    const bare = risks((value) => zoneOf({ value, lower: -one.toleranceOhm, upper: one.toleranceOhm, uncertainty: 0 }));
    expect(bare.consumer).toBeCloseTo(one.noGuardBand.consumerRisk, 4);
    expect(bare.producer).toBeCloseTo(one.noGuardBand.producerRisk, 4);
  });

  it('never passes when U is wider than the band allows, whatever the value', () => {
    fc.assert(
      fc.property(number, positive, positive, (middle, half, more) => {
        const limits = { lower: middle - half, upper: middle + half, uncertainty: half + more + 1e-9 };
        expect(zoneOf({ value: middle, ...limits })).toBe('doubt');
      }),
    );
  });

  it('grows no kinder with U: doubt swallows pass and fail, never the reverse', () => {
    fc.assert(
      fc.property(number, number, positive, positive, positive, (value, middle, half, u, more) => {
        const limits = { value, lower: middle - half, upper: middle + half };
        const narrow = zoneOf({ ...limits, uncertainty: u });
        const wide = zoneOf({ ...limits, uncertainty: u + more });
        expect([narrow, 'doubt']).toContain(wide);
      }),
    );
  });

  it('turns worse, never better, the further a value leaves the middle', () => {
    fc.assert(
      fc.property(number, positive, positive, positive, positive, (middle, half, uncertainty, near, step) => {
        const limits = { lower: middle - half, upper: middle + half, uncertainty };
        for (const side of [-1, 1]) {
          const nearer = zoneOf({ value: middle + side * near, ...limits });
          const farther = zoneOf({ value: middle + side * (near + step), ...limits });
          expect(rank[farther]).toBeGreaterThanOrEqual(rank[nearer]);
        }
      }),
    );
  });

  it('knows one-sided limits', () => {
    fc.assert(
      fc.property(number, number, positive, (value, limit, uncertainty) => {
        const lower = zoneOf({ value, lower: limit, upper: null, uncertainty });
        const mirrored = zoneOf({ value: -value, lower: null, upper: -limit, uncertainty });
        expect(lower).toBe(mirrored);
        expect(zoneOf({ value: limit + uncertainty + 1, lower: limit, upper: null, uncertainty })).toBe('pass');
        expect(zoneOf({ value: 1e12, lower: limit, upper: null, uncertainty })).toBe('pass');
      }),
    );
  });

  it('is void as soon as anything is missing or no number', () => {
    const whole = { value: 0, lower: -1, upper: 1, uncertainty: 0.1 };
    expect(zoneOf(whole)).toBe('pass');
    for (const bad of [null, Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]) {
      expect(zoneOf({ ...whole, value: bad })).toBe('void');
      expect(zoneOf({ ...whole, uncertainty: bad })).toBe('void');
      if (bad === null) continue;
      expect(zoneOf({ ...whole, lower: bad })).toBe('void');
      expect(zoneOf({ ...whole, upper: bad })).toBe('void');
    }
    expect(zoneOf({ ...whole, uncertainty: -0.1 })).toBe('void');
    expect(zoneOf({ ...whole, lower: null, upper: null })).toBe('void');
    expect(zoneOf({ ...whole, lower: 1, upper: -1 })).toBe('void');
  });

  it('lets the worst part speak for the whole, and nothing for nothing', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom<Zone>('pass', 'doubt', 'fail', 'void'), { minLength: 1 }), (zones) => {
        expect(rank[worstZone(zones)]).toBe(Math.max(...zones.map((zone) => rank[zone])));
      }),
    );
    expect(worstZone([])).toBe('void');
  });

  it('measures a deviation by the limit on its own side', () => {
    expect(shareOfLimit(1, -2, 4)).toBe(0.25);
    expect(shareOfLimit(-1, -2, 4)).toBe(0.5);
    expect(shareOfLimit(50, -2, null)).toBe(0);
    expect(shareOfLimit(0, -2, 0)).toBe(0);
    expect(shareOfLimit(0.1, -2, 0)).toBe(Number.POSITIVE_INFINITY);
  });
});

const density = (x: number, sd: number): number => Math.exp(-0.5 * (x / sd) ** 2) / (sd * Math.sqrt(2 * Math.PI));

/** Probability that a standard normal lies below z, by the trapezoid rule. */
function normalBelow(z: number): number {
  const steps = 20_000;
  let sum = 0;
  for (let i = 0; i <= steps; i += 1) {
    sum += density(-10 + ((z + 10) * i) / steps, 1) * (i === 0 || i === steps ? 0.5 : 1);
  }
  return (sum * (z + 10)) / steps;
}

/** Shares of all pieces wrongly accepted and wrongly not accepted, by integration over value and measurement. */
function risks(rule: (value: number) => Zone): { consumer: number; producer: number } {
  const one = reference.jcgm106Resistors;
  const step = 0.0005;
  const accepted = new Map<number, boolean>();
  const isAccepted = (index: number): boolean => {
    const known = accepted.get(index);
    if (known !== undefined) return known;
    const pass = rule((index + 0.5) * step) === 'pass';
    accepted.set(index, pass);
    return pass;
  };
  const reach = Math.round(0.24 / step);
  let consumer = 0;
  let producer = 0;
  for (let i = Math.round(-0.7 / step); i < 0.7 / step; i += 1) {
    const truth = (i + 0.5) * step;
    const isGood = Math.abs(truth) <= one.toleranceOhm;
    let pass = 0;
    for (let k = -reach; k < reach; k += 1) {
      if (isAccepted(i + k)) pass += density(k * step, one.standardUncertaintyOhm) * step;
    }
    const weight = density(truth, one.processSdOhm) * step;
    if (isGood) producer += weight * (1 - pass);
    else consumer += weight * pass;
  }
  return { consumer, producer };
}
