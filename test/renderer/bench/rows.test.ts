import { describe, expect, test } from 'vitest';
import type { LivePoint } from '../../../renderer/bridge/station.ts';
import { liveWorst, recordedWorst } from '../../../renderer/screens/bench/rows.ts';
import type { PointRecord } from '../../../src/archive/records.ts';
import { exampleLaw } from '../../../src/law/examples.ts';

const law = exampleLaw('PF-104');
const live = (pointIndex: number, deviationDb: number | null): LivePoint => ({
  runId: 'r',
  pointIndex,
  travelMm: law.points[pointIndex]?.travelMm ?? 0,
  direction: 'up',
  lossDb: null,
  deviationDb,
});

describe('worst so far', () => {
  test('is the reading that uses up most of its limit, not the largest one', () => {
    // Point 4 allows 2 dB, point 13 (66 mm, mark -5) allows 0.5 dB.
    expect(liveWorst(law, [live(4, 0.9), live(13, -0.4)])).toEqual({
      travelMm: 66,
      mark: '-5',
      deviationDb: -0.4,
      limitDb: -0.5,
      uncertaintyDb: null,
    });
  });

  test('passes over gaps, and is nothing before the first reading', () => {
    expect(liveWorst(law, [live(4, null)])).toBeNull();
    expect(liveWorst(law, [])).toBeNull();
  });
});

test('after the verdict the recorded worst point brings its own limit and U', () => {
  const point: PointRecord = {
    pointIndex: 0,
    travelMm: 6,
    lawDb: 70,
    lowerDb: -6,
    upperDb: null,
    upDeviationDb: 2.1,
    downDeviationDb: 1.9,
    deviationDb: 2,
    uncertaintyDb: 0.4,
    playMm: null,
    zone: 'pass',
    reason: null,
  };
  expect(recordedWorst(law, [point], 0)).toMatchObject({ limitDb: null, uncertaintyDb: 0.4, mark: '-60' });
  expect(recordedWorst(law, [point], 3)).toBeNull();
  expect(recordedWorst(law, [{ ...point, deviationDb: null }], 0)).toBeNull();
});
