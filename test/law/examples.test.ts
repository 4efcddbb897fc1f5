import { describe, expect, test } from 'vitest';
import { bandAt } from '../../src/law/band.ts';
import { slopeAt } from '../../src/law/curve.ts';
import { lossFromRatio, toleranceFromFraction } from '../../src/law/decibel.ts';
import { exampleLaw } from '../../src/law/examples.ts';
import { exponentialTaper } from '../../src/law/taper.ts';

/** Loss at a mark of the printed scale, below the open end. */
function lossAtMark(id: string, text: string): number {
  const law = exampleLaw(id);
  const mark = law.marks.find((m) => m.text === text);
  return law.points.find((p) => p.travelMm === mark?.travelMm)?.lossDb ?? Number.NaN;
}

describe('the programme fader PF-104', () => {
  const law = exampleLaw('PF-104');

  test('has 21 points over 104 mm, 10 kohm +-20 %, unloaded', () => {
    expect([law.points.length, law.travelMm, law.loadOhm]).toEqual([21, 104, null]);
    expect(law.resistance).toEqual({ nominalOhm: 10_000, toleranceFraction: 0.2 });
    expect([law.closedMinLossDb, law.openMaxLossDb, law.limits.maxPlayMm]).toEqual([66, 0.2, 0.15]);
  });

  test('loses as much as the scale says: a mark of s dB lies at 10 - s dB of loss', () => {
    for (const text of ['+5', '0', '-5', '-10', '-20', '-30', '-40', '-50', '-60']) {
      expect(lossAtMark('PF-104', text)).toBe(10 - Number(text));
    }
    expect(law.marks[0]).toEqual({ travelMm: 0, text: '∞' });
  });

  test('doubles its slope in each lower zone', () => {
    expect(slopeAt(law, 80)).toBeCloseTo(5 / 12, 6);
    expect(slopeAt(law, 40)).toBeCloseTo(10 / 12, 6);
    expect(slopeAt(law, 10)).toBeCloseTo(20 / 12, 6);
  });

  test('has limits by region, one-sided below the -50 mark', () => {
    const limits = (travelMm: number) => [bandAt(law, travelMm)?.lowerDb, bandAt(law, travelMm)?.upperDb];
    expect(limits(102)).toEqual([-0.3, 0.5]);
    expect(limits(54)).toEqual([-0.5, 0.5]);
    expect(limits(42)).toEqual([-1, 1]);
    expect(limits(18)).toEqual([-2, 2]);
    expect(limits(12)).toEqual([-3, 3]);
    expect(limits(9)).toEqual([-4, null]);
    expect(limits(6)).toEqual([-6, null]);
  });
});

describe('the group fader GF-60', () => {
  test('prints the same scale on 60 mm, with end zones of the same length as the long fader', () => {
    for (const text of ['+5', '0', '-5', '-10', '-20', '-30', '-40', '-50', '-60']) {
      expect(lossAtMark('GF-60', text)).toBe(10 - Number(text));
    }
    const long = exampleLaw('PF-104');
    const short = exampleLaw('GF-60');
    expect(short.points[0]?.travelMm).toBe(long.points[0]?.travelMm);
    expect(short.travelMm - (short.points.at(-1)?.travelMm ?? 0)).toBe(
      long.travelMm - (long.points.at(-1)?.travelMm ?? 0),
    );
  });
});

describe('the audio taper AT-60', () => {
  const law = exampleLaw('AT-60');

  test('gives 15 % at half travel', () => {
    const half = law.points.find((p) => p.travelMm === 30);
    expect(half?.lossDb).toBeCloseTo(lossFromRatio(0.15) ?? Number.NaN, 5);
  });

  test('follows the exponential with a true zero over its electrical travel of 2 to 58 mm', () => {
    const y = exponentialTaper(0.15);
    for (const point of law.points) {
      expect(point.lossDb).toBeCloseTo(lossFromRatio(y((point.travelMm - 2) / 56)) ?? Number.NaN, 5);
    }
  });

  test('allows +-20 % of the value everywhere', () => {
    const { minusDb, plusDb } = toleranceFromFraction(0.2);
    for (const point of law.points) {
      expect(point.minusDb).toBeCloseTo(minusDb, 5);
      expect(point.plusDb).toBeCloseTo(plusDb, 5);
    }
  });
});

describe('the quadrant fader QS-54', () => {
  const law = exampleLaw('QS-54');
  const steps = law.points.slice(1).map((p, i) => (law.points[i]?.lossDb ?? Number.NaN) - p.lossDb);

  test('has 54 contacts 2 mm apart, stepped', () => {
    expect([law.points.length, law.interpolation]).toEqual([54, 'stepped']);
    expect(law.points.every((p, i) => p.travelMm === 2 + 2 * i)).toBe(true);
  });

  test('widens its steps towards the closed end and is off on the last contact', () => {
    expect(steps.at(-1)).toBe(0.75);
    steps.reduce((wider, step) => {
      expect(step).toBeLessThanOrEqual(wider);
      return step;
    });
    expect(law.points[0]).toMatchObject({ lossDb: 80, plusDb: null });
    expect(law.marks[0]).toEqual({ travelMm: 2, text: 'off' });
  });

  test('has limits narrower than half a step, so that no contact can pass for its neighbour', () => {
    for (const [i, step] of steps.entries()) {
      const below = law.points[i];
      const above = law.points[i + 1];
      if (below === undefined || above?.plusDb == null) throw new Error('a contact is missing');
      expect(below.minusDb + above.plusDb).toBeLessThan(step + 1e-9);
    }
  });
});
