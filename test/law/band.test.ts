import { scaleLinear } from 'd3-scale';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bandAt, bandOfPoint } from '../../src/law/band.ts';
import { buildLaw, type Law } from '../../src/law/build.ts';
import { lossAt, slopeAt } from '../../src/law/curve.ts';
import { exampleLaw, exampleLaws } from '../../src/law/examples.ts';
import { plainLaw } from './published-laws.ts';
import { lawAndTravel } from './random-laws.ts';

const law = buildLaw(plainLaw());

function withoutTravelTolerance(source: Law): Law {
  return buildLaw({ ...source, points: source.points.map(({ travelTolMm: _, ...point }) => point) });
}

describe('the band', () => {
  test('on a point without travel tolerance is the point itself, as limits of the deviation', () => {
    for (const example of exampleLaws()) {
      const plain = withoutTravelTolerance(example);
      plain.points.forEach((point, index) => {
        expect(bandOfPoint(plain, index)).toEqual({
          lossDb: point.lossDb,
          lowerDb: -point.minusDb,
          upperDb: point.plusDb,
        });
      });
    }
  });

  test('between points runs straight from one tolerance to the next', () => {
    const plain = withoutTravelTolerance(law);
    const band = bandAt(plain, 35);
    expect(band?.lossDb).toBeCloseTo(17.5, 12);
    expect(band?.lowerDb).toBeCloseTo(-1.25, 12);
    expect(band?.upperDb).toBeCloseTo(0.875, 12);
  });

  test('is open upwards on a one-sided point and on the stretch beside it, and closes on the next point', () => {
    expect(bandAt(law, 6)?.upperDb).toBeNull();
    expect(bandAt(law, 19.999)?.upperDb).toBeNull();
    expect(bandAt(law, 20)?.upperDb).toBe(2);
  });

  test('still limits how loud a one-sided stretch may be', () => {
    expect(bandAt(law, 13)?.lowerDb).toBeCloseTo(-2.5, 12);
  });

  test('does not exist outside the points', () => {
    expect([bandAt(law, 5.9), bandAt(law, 58.1), bandAt(law, Number.NaN)]).toEqual([null, null, null]);
  });

  test('a travel tolerance widens it by the slope of its own side', () => {
    // At 40 mm: 0.2 mm towards closed costs 1.5 dB/mm, towards open 10/18 dB/mm.
    const band = bandAt(law, 40);
    expect(band?.upperDb).toBeCloseTo(0.5 + 0.2 * 1.5, 12);
    expect(band?.lowerDb).toBeCloseTo(-1 - (0.2 * 10) / 18, 12);
  });

  test('at the outermost points the end stretch is taken to run on', () => {
    const ends = buildLaw({ ...law, points: law.points.map((p) => ({ ...p, plusDb: 1, travelTolMm: 0.5 })) });
    expect(bandAt(ends, 6)?.upperDb).toBeCloseTo(1 + (0.5 * 20) / 14, 12);
    expect(bandAt(ends, 58)?.lowerDb).toBeCloseTo(-0.5 - (0.5 * 10) / 18, 12);
  });

  test('of the group fader at -50 marks 0.1 mm: 0.1 mm of the slopes on both sides', () => {
    const band = bandAt(exampleLaw('GF-60'), 12.5);
    expect(band?.upperDb).toBeCloseTo(2 + 0.1 * (5 / 1.625), 9);
    expect(band?.lowerDb).toBeCloseTo(-2 - 0.1 * (5 / 3.25), 9);
  });

  test('of a stepped law is that of the contact, and reaches the neighbour only within the travel tolerance', () => {
    const quadrant = exampleLaw('QS-54');
    expect(bandAt(quadrant, 60.5)).toEqual(bandAt(quadrant, 60));
    const loose = buildLaw({ ...quadrant, points: quadrant.points.map((p) => ({ ...p, travelTolMm: 0.4 })) });
    expect(bandAt(loose, 60.5)).toEqual(bandAt(quadrant, 60));
    const nearEdge = bandAt(loose, 60.8);
    const stepDb = (lossAt(quadrant, 60) ?? Number.NaN) - (lossAt(quadrant, 62) ?? Number.NaN);
    expect(nearEdge?.lowerDb).toBeCloseTo(-0.25 - stepDb, 12);
    expect(nearEdge?.upperDb).toBe(0.25);
  });
});

describe('on any law and travel', () => {
  test('the law itself lies inside the band, and the band is never narrower than the tolerances around', () => {
    fc.assert(
      fc.property(lawAndTravel(), ([random, travelMm]) => {
        const band = bandAt(random, travelMm);
        if (band === null) throw new Error('inside the points there is a band');
        expect(band.lossDb).toBe(lossAt(random, travelMm));
        const narrowest = Math.min(...random.points.flatMap((p) => [p.minusDb, p.plusDb ?? p.minusDb]));
        expect(band.lowerDb).toBeLessThanOrEqual(-narrowest + 1e-9);
        if (band.upperDb !== null) expect(band.upperDb).toBeGreaterThanOrEqual(narrowest - 1e-9);
      }),
    );
  });

  test('without travel tolerance agrees with a general-purpose library (d3-scale, piecewise linear)', () => {
    fc.assert(
      fc.property(lawAndTravel(), ([random, travelMm]) => {
        const plain = withoutTravelTolerance(random);
        const lower = scaleLinear()
          .domain(plain.points.map((p) => p.travelMm))
          .range(plain.points.map((p) => -p.minusDb));
        expect(bandAt(plain, travelMm)?.lowerDb).toBeCloseTo(lower(travelMm), 9);
      }),
    );
  });

  test('away from knees the widening is local slope times travel tolerance', () => {
    fc.assert(
      fc.property(lawAndTravel(), fc.double({ min: 1e-4, max: 0.4, noNaN: true }), ([random, travelMm], tolMm) => {
        const level = buildLaw({ ...random, points: random.points.map((p) => ({ ...p, travelTolMm: tolMm })) });
        const isNearKnee = random.points.some((p) => Math.abs(p.travelMm - travelMm) <= tolMm);
        const tight = bandAt(withoutTravelTolerance(level), travelMm);
        const wide = bandAt(level, travelMm);
        const slope = slopeAt(level, travelMm);
        if (isNearKnee || tight === null || wide === null || slope === null) return;
        const slackDb = 1e-9 * (1 + slope);
        expect(Math.abs(tight.lowerDb - wide.lowerDb - slope * tolMm)).toBeLessThan(slackDb);
        expect(wide.upperDb === null).toBe(tight.upperDb === null);
        if (wide.upperDb !== null && tight.upperDb !== null) {
          expect(Math.abs(wide.upperDb - tight.upperDb - slope * tolMm)).toBeLessThan(slackDb);
        }
      }),
    );
  });
});
