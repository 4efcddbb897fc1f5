import { describe, expect, test } from 'vitest';
import { passRows, sortRows } from '../../../renderer/screens/bench/trim/batch-rows.ts';
import { gainReach } from '../../../renderer/screens/bench/trim/gain-trend.ts';
import { trimBatch } from './pieces.ts';

describe('the counts of a batch', () => {
  test('every piece is counted once', () => {
    const { accepted, ended, hopeless, open } = trimBatch.ends;
    const total = sortRows(trimBatch).reduce((sum, { count }) => sum + count, 0);
    expect(total).toBe(accepted + ended + hopeless + open);
  });

  test('numbers of passes that nothing took stand as 0', () => {
    expect(passRows({ passes: [{ passes: 2, pieces: 5 }] }).map(({ count }) => count)).toEqual([0, 5, 0]);
    expect(passRows({ passes: [{ passes: 5, pieces: 1 }] })).toHaveLength(5);
  });
});

describe('the axis of the gain', () => {
  const step = { pass: 1, serial: 'PF104-26-48-00001', at: '2026-11-25T08:00:00.000Z', toolId: 'mill-1' };

  test('never makes a small change look large', () => {
    expect(gainReach([])).toBe(0.2);
    expect(gainReach([{ ...step, achieved: 1.01, mean: 1, sd: 0.01 }])).toBe(0.2);
  });

  test('holds every pass and the spread of the belief', () => {
    expect(gainReach([{ ...step, achieved: 1.42, mean: 1, sd: 0.1 }])).toBe(0.5);
    expect(gainReach([{ ...step, achieved: null, mean: 0.9, sd: 0.15 }])).toBe(0.4);
  });
});
