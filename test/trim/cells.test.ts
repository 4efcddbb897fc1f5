import { describe, expect, it } from 'vitest';
import { exampleLaw } from '../../src/law/examples.ts';
import { trimLimits } from '../../src/trim/bands.ts';
import { profileFrom, profileOfRun, profileOfTaps } from '../../src/trim/cells.ts';
import { cellFromRatios } from '../../src/trim/needle.ts';
import { ends } from './random-tracks.ts';

const law = exampleLaw('PF-104');
const onLaw = law.points.map((point, pointIndex) => ({
  pointIndex,
  travelMm: point.travelMm,
  lossDb: point.lossDb,
  uncertaintyDb: 0.1,
}));

describe('cells from a measured run', () => {
  it('are the steps of the ratio times the total resistance', () => {
    const tap = (ratio: number, pointIndex: number) => ({
      pointIndex,
      travelMm: 10 * pointIndex,
      ratio,
      uRatio: 0.001,
    });
    const { cells } = profileOfTaps([tap(0.3, 1), tap(0.55, 2)], 10_000, 20, ends);
    expect(cells.map((cell) => cell.ohm)).toEqual([3000, expect.closeTo(2500, 6), expect.closeTo(4500, 6)]);
    expect(cellFromRatios(0.3, 0.55, 10_000)).toBeCloseTo(2500, 6);
    expect(cells.map(({ fromMm, toMm }) => [fromMm, toMm])).toEqual([
      [0.8, 10],
      [10, 20],
      [20, 102.9],
    ]);
    // Both taps and the total are uncertain; the film's ends are not.
    expect(cells[0]?.uOhm).toBeCloseTo(Math.hypot(10, 0.3 * 20), 6);
    expect(cells[1]?.uOhm).toBeCloseTo(Math.hypot(10 * Math.SQRT2, 0.25 * 20), 6);
  });

  it('sum to the total and lie between the law points', () => {
    const { profile } = profileFrom(onLaw, { value: 8600, uncertainty: 4 }, law, ends);
    expect(profile?.cells).toHaveLength(law.points.length + 1);
    expect(profile?.cells.reduce((sum, cell) => sum + cell.ohm, 0)).toBeCloseTo(8600, 8);
    expect(profile?.uTotalOhm).toBe(2);
    expect(profile?.taps[9]?.uRatio).toBeCloseTo((10 ** (-30 / 20) * 0.05) / 8.685889638, 9);
  });

  it('are refused, point by point, where something was not measured', () => {
    const gaps = onLaw.map((point, i) => (i === 4 || i === 7 ? { ...point, lossDb: null } : point));
    const { profile, reasons } = profileFrom(gaps, { value: 8600, uncertainty: 4 }, law, ends);
    expect(profile).toBeNull();
    expect(reasons.map(({ code, pointIndex }) => [code, pointIndex])).toEqual([
      ['notMeasured', 4],
      ['notMeasured', 7],
    ]);
    expect(profileFrom(onLaw, { value: null, uncertainty: null }, law, ends).reasons[0]?.sentence).toMatch(/total/);
  });

  it('come from an archived run, with what lies behind the stops', () => {
    const run = {
      points: law.points.map((point, pointIndex) => ({
        pointIndex,
        travelMm: point.travelMm,
        lawDb: point.lossDb,
        deviationDb: 0.25,
        uncertaintyDb: 0.05,
      })),
      checks: [
        { name: 'totalResistance', value: 9000, uncertainty: 3 },
        { name: 'closedLoss', value: 70, uncertainty: 0.5 },
        { name: 'openLoss', value: null, uncertainty: null },
      ],
    };
    const { profile } = profileOfRun(run, law, ends);
    expect(profile?.taps[11]?.ratio).toBeCloseTo(10 ** (-20.25 / 20), 12);
    expect(profile?.closedRatio).toBeCloseTo(10 ** (-69.5 / 20), 12);
    expect(profile).not.toHaveProperty('openRatio');
    if (profile === null) throw new Error('no profile');
    // 3.02 ohm behind the closed stop need at least 6014 ohm in all for 66 dB, which the law's 8000 ohm grant.
    expect(trimLimits(law, profile, 1).leastTotalOhm).toBeCloseTo(8003, 6);
    const noisy = { ...profile, closedRatio: 6e-4 };
    expect(trimLimits(law, noisy, 1).leastTotalOhm).toBeCloseTo((6e-4 * 9000) / 10 ** (-66 / 20), 6);
  });
});
