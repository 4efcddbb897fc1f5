import { scaleLinear } from 'd3-scale';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { buildLaw } from '../../src/law/build.ts';
import { contactAt, lossAt, slopeAt } from '../../src/law/curve.ts';
import { exampleLaw, exampleLaws } from '../../src/law/examples.ts';
import { plainLaw } from './published-laws.ts';
import { lawAndTravel, randomLaw } from './random-laws.ts';

const law = buildLaw(plainLaw());

describe('loss between points', () => {
  test('is the stated loss on every point, to the last bit', () => {
    for (const example of exampleLaws()) {
      for (const point of example.points) expect(lossAt(example, point.travelMm)).toBe(point.lossDb);
    }
  });

  test('runs straight in dB', () => {
    expect(lossAt(law, 30)).toBe(25);
    expect(lossAt(law, 45)).toBeCloseTo(10 - (10 * 5) / 18, 12);
  });

  test('does not exist outside the points: nothing is interpolated towards silence', () => {
    expect([lossAt(law, 5.99), lossAt(law, 0), lossAt(law, 58.01), lossAt(law, Number.NaN)]).toEqual([
      null,
      null,
      null,
      null,
    ]);
  });

  test('agrees with a general-purpose library (d3-scale, piecewise linear)', () => {
    fc.assert(
      fc.property(lawAndTravel(), ([random, travelMm]) => {
        const reference = scaleLinear()
          .domain(random.points.map((p) => p.travelMm))
          .range(random.points.map((p) => p.lossDb));
        expect(lossAt(random, travelMm)).toBeCloseTo(reference(travelMm), 9);
      }),
    );
  });

  test('never rises as the fader opens', () => {
    fc.assert(
      fc.property(
        randomLaw(),
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 2 }),
        (random, shares) => {
          const first = random.points[0]?.travelMm ?? 0;
          const span = (random.points.at(-1)?.travelMm ?? 0) - first;
          const losses = [...shares]
            .sort((a, b) => a - b)
            .map((share) => lossAt(random, first + share * span))
            .filter((loss) => loss !== null);
          losses.reduce((before, loss) => {
            expect(loss).toBeLessThanOrEqual(before + 1e-12);
            return loss;
          }, Number.POSITIVE_INFINITY);
        },
      ),
    );
  });
});

describe('slope', () => {
  test('is what one millimetre costs, positive', () => {
    expect(slopeAt(law, 30)).toBeCloseTo(1.5, 12);
  });

  test('on a point is the steeper of both sides', () => {
    expect(slopeAt(law, 20)).toBeCloseTo(1.5, 12);
    expect(slopeAt(law, 40)).toBeCloseTo(1.5, 12);
    expect(slopeAt(law, 6)).toBeCloseTo(20 / 14, 12);
    expect(slopeAt(law, 58)).toBeCloseTo(10 / 18, 12);
  });

  test('does not exist outside the points', () => {
    expect([slopeAt(law, 5), slopeAt(law, 59)]).toEqual([null, null]);
  });

  test('agrees with the difference of two losses', () => {
    fc.assert(
      fc.property(lawAndTravel(), ([random, travelMm]) => {
        const before = lossAt(random, travelMm - 1e-4);
        const after = lossAt(random, travelMm + 1e-4);
        const slope = slopeAt(random, travelMm);
        if (before === null || after === null || slope === null) return;
        // Across a knee the difference lies between both slopes, so the steeper one bounds it.
        const isOnKnee = random.points.some((p) => Math.abs(p.travelMm - travelMm) <= 1e-4);
        const difference = (before - after) / 2e-4;
        if (!isOnKnee) expect(Math.abs(difference - slope)).toBeLessThanOrEqual(1e-6 + slope * 1e-6);
      }),
    );
  });
});

describe('a stepped law', () => {
  const quadrant = exampleLaw('QS-54');

  test('is constant on each contact and changes half way between two', () => {
    for (const [index, point] of quadrant.points.entries()) {
      for (const offMm of [-0.99, -0.4, 0, 0.4, 0.99]) {
        expect(contactAt(quadrant, point.travelMm + offMm)).toBe(index);
        expect(lossAt(quadrant, point.travelMm + offMm)).toBe(point.lossDb);
        expect(slopeAt(quadrant, point.travelMm + offMm)).toBe(0);
      }
    }
  });

  test('exactly half way belongs to the contact nearer the closed end', () => {
    expect(contactAt(quadrant, 3)).toBe(0);
    expect(contactAt(quadrant, 5)).toBe(1);
  });

  test('says nothing beyond the outermost contacts', () => {
    expect([lossAt(quadrant, 0.9), slopeAt(quadrant, 0.9), lossAt(quadrant, 109.1)]).toEqual([null, null, null]);
    expect([lossAt(quadrant, 1), lossAt(quadrant, 109)]).toEqual([80, 0]);
  });

  test('always answers with the loss of the nearest contact', () => {
    fc.assert(
      fc.property(lawAndTravel('stepped'), ([random, travelMm]) => {
        const distances = random.points.map((p) => Math.abs(p.travelMm - travelMm));
        const nearest = Math.min(...distances);
        const answered = random.points.find((p) => p.lossDb === lossAt(random, travelMm));
        expect(Math.abs((answered?.travelMm ?? Number.NaN) - travelMm)).toBeCloseTo(nearest, 9);
      }),
    );
  });
});
