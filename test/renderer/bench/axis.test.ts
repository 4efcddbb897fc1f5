import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { asShare, placeOfTravel, pointLimits, reachOf, shareOf } from '../../../renderer/screens/bench/axis.ts';
import { exampleLaw } from '../../../src/law/examples.ts';

const edge = (lowerDb: number, upperDb: number | null, uncertaintyDb: number | null = null) => ({
  travelMm: 10,
  lowerDb,
  upperDb,
  uncertaintyDb,
});

describe('travel on the upright axis', () => {
  const frame = { heightPx: 500, topPx: 20, bottomPx: 50 };

  test('closed stands at the bottom of the drawing, open at its top', () => {
    expect(placeOfTravel(0, 104, frame)).toBe(450);
    expect(placeOfTravel(104, 104, frame)).toBe(20);
    expect(placeOfTravel(52, 104, frame)).toBe(235);
  });
});

describe('reach of the deviation axis', () => {
  test.each([
    [0.5, 1],
    [0.75, 1],
    [1, 2],
    [3, 4],
    [4.4, 6],
    [7, 10],
    [40, 10],
  ])('a widest limit of %s dB is drawn on an axis to %s dB', (limitDb, reach) => {
    expect(reachOf([edge(-limitDb, limitDb)], 'dB')).toBe(reach);
  });

  test('places limited on one side only do not squeeze the others', () => {
    expect(reachOf([edge(-6, null), edge(-0.5, 0.5)], 'dB')).toBe(1);
    expect(reachOf([edge(-6, null)], 'dB')).toBe(10);
  });

  test('as share of the limit it always reaches twice the limit', () => {
    expect(reachOf([edge(-6, null), edge(-0.5, 0.5)], 'share')).toBe(2);
  });
});

describe('share of the limit', () => {
  test('each side counts its own limit, and a side without a limit uses none up', () => {
    expect(shareOf(-0.3, edge(-0.6, 0.5))).toBeCloseTo(-0.5, 12);
    expect(shareOf(0.5, edge(-0.6, 0.5))).toBe(1);
    expect(shareOf(9, edge(-0.6, null))).toBe(0);
  });

  test('a deviation is beyond its limit exactly when its share is beyond 1', () => {
    const db = fc.double({ min: 0.05, max: 10, noNaN: true });
    fc.assert(
      fc.property(db, db, fc.double({ min: -20, max: 20, noNaN: true }), (minusDb, plusDb, deviationDb) => {
        const isBeyond = deviationDb < -minusDb || deviationDb > plusDb;
        expect(Math.abs(shareOf(deviationDb, edge(-minusDb, plusDb))) > 1).toBe(isBeyond);
      }),
    );
  });

  test('the slot becomes straight, U is told as share of the nearer limit, a gap stays a gap', () => {
    expect(asShare([edge(-0.5, 1, 0.1), edge(-4, null)])).toEqual([
      { travelMm: 10, lowerDb: -1, upperDb: 1, uncertaintyDb: 0.2 },
      { travelMm: 10, lowerDb: -1, upperDb: null, uncertaintyDb: null },
    ]);
  });
});

test('every point of a law has its limits, in the order of the points', () => {
  const law = exampleLaw('PF-104');
  const limits = pointLimits(law);
  expect(limits.map(({ travelMm }) => travelMm)).toEqual(law.points.map(({ travelMm }) => travelMm));
  expect(limits[0]).toEqual({ travelMm: 6, lowerDb: -6, upperDb: null });
});
