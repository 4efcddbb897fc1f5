import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type CurveSource, curveSet, nearestCurve } from '../../../renderer/charts/curve-set.ts';
import { opacityFor } from '../../../renderer/charts/curves-plugin.ts';
import { sampleBatch } from '../../report/sample-runs.ts';

const curve = (serial: string, ...deviations: (number | null)[]): CurveSource => ({
  runId: `run-${serial}`,
  serial,
  verdict: 'pass',
  points: deviations.map((deviationDb, index) => ({ travelMm: index * 10, deviationDb })),
});

/** 10 px a mm to the right, 100 px a dB upwards from 500. */
const axes = {
  travel: { pxOf: (mm: number) => mm * 10 },
  deviation: { pxOf: (db: number) => 500 - db * 100 },
};

describe('a set of curves', () => {
  test('keeps every reading at its travel, one curve after the other', () => {
    const set = curveSet([curve('a', 0.1, 0.2), curve('b', 0.3, null, 0.5)]);
    expect(set.count).toBe(2);
    expect([...set.starts]).toEqual([0, 2, 5]);
    expect([...set.travelMm]).toEqual([0, 10, 0, 10, 20]);
    expect([...set.deviationDb]).toEqual([0.1, 0.2, 0.3, Number.NaN, 0.5]);
    expect(set.serials).toEqual(['a', 'b']);
  });

  test('of no curve, or of curves without points, is empty and can be pointed at', () => {
    expect(curveSet([]).count).toBe(0);
    expect(nearestCurve(curveSet([]), { x: 0, y: 0 }, axes)).toBeNull();
    expect(nearestCurve(curveSet([curve('a')]), { x: 0, y: 500 }, axes)).toBeNull();
  });

  test('of 500 runs loses no point and makes a gap of every missing one', () => {
    const runs = sampleBatch({ size: 500, seed: 11, voidShare: 0.05 });
    const set = curveSet(runs);
    const points = runs.flatMap((run) => run.points);
    expect(set.travelMm).toHaveLength(points.length);
    expect(set.deviationDb.filter(Number.isNaN)).toHaveLength(points.filter((p) => p.deviationDb === null).length);
    expect(set.deviationDb.filter(Number.isNaN).length).toBeGreaterThan(0);
  });
});

describe('pointing at a curve', () => {
  const set = curveSet([curve('low', -1, -1, -1), curve('high', 1, 1, 1), curve('holed', 0, null, 0)]);

  test('finds the nearest line, also between its readings', () => {
    expect(nearestCurve(set, { x: 50, y: 395 }, axes)).toBe(1);
    expect(nearestCurve(set, { x: 150, y: 604 }, axes)).toBe(0);
  });

  test('finds nothing where no line is within reach', () => {
    expect(nearestCurve(set, { x: 50, y: 450 }, axes)).toBeNull();
    expect(nearestCurve(set, { x: 50, y: 450 }, axes, 60)).not.toBeNull();
  });

  test('does not find a line across a gap, but finds the readings beside it', () => {
    expect(nearestCurve(set, { x: 100, y: 500 }, axes)).toBeNull();
    expect(nearestCurve(set, { x: 2, y: 503 }, axes)).toBe(2);
    expect(nearestCurve(set, { x: 198, y: 497 }, axes)).toBe(2);
  });

  test('on a reading of a lone curve always finds that curve', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 1, maxLength: 30 }), (values) => {
        const lone = curveSet([curve('lone', ...values)]);
        values.forEach((value, index) => {
          const place = { x: axes.travel.pxOf(index * 10), y: axes.deviation.pxOf(value) };
          expect(nearestCurve(lone, place, axes)).toBe(0);
        });
      }),
    );
  });
});

test('the more curves the fainter each, but never invisible', () => {
  expect(opacityFor(1)).toBeGreaterThan(opacityFor(50));
  expect(opacityFor(500)).toBeGreaterThanOrEqual(0.05);
});
