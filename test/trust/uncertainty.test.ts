import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ringResidualUm } from '../../src/trust/assumptions.ts';
import { meanNoiseCounts, pooledNoiseCounts } from '../../src/trust/noise.ts';
import { chordSlope, type MeasuredPlace, playFromDirections, slopeForPosition } from '../../src/trust/slope.ts';
import { pointBudget } from '../../src/trust/uncertainty.ts';
import { totalResistanceBudget } from '../../src/trust/uncertainty-checks.ts';
import { exampleCalibration as calibration, exampleLimits as limits } from './example-calibration.ts';

const input = {
  ratio: 0.1,
  trackCounts: 8e6,
  travelMm: 54,
  slopeDbPerMm: 0.8333,
  lawSlopeDbPerMm: 0.8333,
  offsetMm: 0.004,
  noiseCounts: [1, 1],
  noiseDegrees: 8,
  readingUs: 100_000,
  playSdMm: 0,
  directionExcessDb: 0,
} as const;
const rowOf = (source: string, changed: Partial<typeof input> | object = {}) => {
  const row = pointBudget({ ...input, ...changed }, calibration, limits).rows.find((one) => one.source === source);
  if (row === undefined) throw new Error(`no row ${source}`);
  return row;
};

describe('budget of a law point', () => {
  it('is the root of the squares of its rows, twice', () => {
    const budget = pointBudget(input, calibration, limits);
    const square = budget.rows.reduce((sum, row) => sum + row.contribution ** 2, 0);
    expect(budget.expanded).toBeCloseTo(2 * Math.sqrt(square), 12);
    expect(budget.unit).toBe('dB');
    for (const row of budget.rows) expect(row.basis).not.toBe('');
  });

  it('turns a known error of each input into the dB it states', () => {
    const lossOf = (counts: number, track: number, offset: number, gain: number): number =>
      -20 * Math.log10((counts - offset) / (track * gain));
    const { gain } = calibration.meter;
    const counts = input.ratio * input.trackCounts * gain;
    const here = lossOf(counts, input.trackCounts, 0, gain);
    const shifted = lossOf(counts, input.trackCounts, calibration.meter.uOffsetCounts, gain);
    expect(rowOf('meter offset').contribution).toBeCloseTo(Math.abs(shifted - here), 6);
    const moved = rowOf('homing');
    // GUM table G.2, nine degrees of freedom: 2.32 in place of 2.
    expect(moved.contribution).toBeCloseTo(calibration.position.uHomeMm * 1.16 * input.slopeDbPerMm, 12);
    expect(rowOf('lead screw').contribution).toBeCloseTo((0.01 / Math.SQRT2) * input.slopeDbPerMm, 12);
  });

  it('lets the backlash cancel in the mean of both directions and averages the noise', () => {
    expect(rowOf('backlash').contribution).toBe(0);
    expect(rowOf('meter noise').standardUncertainty).toBeCloseTo(1 / Math.SQRT2, 12);
    expect(rowOf('meter noise', { noiseCounts: [3, 0] }).standardUncertainty).toBeCloseTo(1.5, 12);
  });

  it('never shrinks when any input grows', () => {
    const amount = fc.double({ min: 0, max: 5, noNaN: true });
    fc.assert(
      fc.property(amount, amount, amount, amount, (slope, noise, playSdMm, directionExcessDb) => {
        const base = pointBudget(input, calibration, limits).expanded;
        const worse = {
          ...input,
          slopeDbPerMm: input.slopeDbPerMm + slope,
          noiseCounts: [1 + noise, 1 + noise] as const,
          playSdMm,
          directionExcessDb,
        };
        expect(pointBudget(worse, calibration, limits).expanded).toBeGreaterThanOrEqual(base);
      }),
    );
  });

  it('covers a disagreement of both directions whole', () => {
    expect(pointBudget({ ...input, directionExcessDb: 1 }, calibration, limits).expanded).toBeGreaterThan(0.5);
  });
});

describe('noise', () => {
  const reading = (sd: number | null, conversions = 5) => ({ conversions, wiperSdCounts: sd, integrationUs: 20_000 });

  it('is never taken below that of the run, however calm one reading was', () => {
    expect(meanNoiseCounts(reading(0.1), 2)).toBeCloseTo(2 / Math.sqrt(5), 12);
    expect(meanNoiseCounts(reading(4), 2)).toBeCloseTo((4 * 2.87) / 2 / Math.sqrt(5), 12);
  });

  it('is unknown when neither is known', () => {
    expect(meanNoiseCounts(reading(null, 1), null)).toBeNull();
    expect(meanNoiseCounts(reading(null, 1), 2)).toBe(2);
    expect(pooledNoiseCounts([reading(null, 1)], 20_000)).toBeNull();
  });

  it('is pooled per integration time and not moved by one wild reading', () => {
    const calm = Array.from({ length: 20 }, () => reading(2));
    const wild = [...calm, reading(5_000), { ...reading(900), integrationUs: 100 }];
    expect(pooledNoiseCounts(wild, 20_000)).toBeCloseTo(pooledNoiseCounts(calm, 20_000) ?? 0, 12);
  });
});

describe('slope and play', () => {
  const places = (playMm: number, slopes: readonly number[]): MeasuredPlace[] => {
    let lossDb = 60;
    return slopes.map((slope, i) => {
      lossDb -= 5 * slope;
      return { travelMm: 10 + 5 * i, lossDb, directionDifferenceDb: playMm * slope, lawSlopeDbPerMm: 0 };
    });
  };

  it('finds the play from the difference of the directions', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0.2, max: 2, noNaN: true }),
        (play, slope) => {
          expect(playFromDirections(places(play, Array(9).fill(slope)))?.playMm).toBeCloseTo(play, 9);
        },
      ),
    );
  });

  it('is not led astray by a few odd places, nor by a flat fader', () => {
    const row = places(0.05, Array(11).fill(0.5));
    const odd = row.map((place, i) => (i === 3 || i === 7 ? { ...place, directionDifferenceDb: 3 } : place));
    expect(playFromDirections(odd)?.playMm).toBeCloseTo(0.05, 9);
    expect(playFromDirections(places(0.05, Array(9).fill(0.01)))).toBeNull();
  });

  it('sees a steep spot that its chords hide', () => {
    const row = places(0.05, Array(11).fill(0.5));
    const bump = row.map((place, i) => (i === 5 ? { ...place, directionDifferenceDb: 0.05 * 2 } : place));
    expect(chordSlope(bump, 5)).toBeCloseTo(0.5, 9);
    expect(slopeForPosition(bump, 5, 0.05)).toBeCloseTo(2, 9);
    expect(slopeForPosition(bump, 4, 0.05)).toBeCloseTo(0.5, 9);
  });

  it('asks for more stillness where the fader is steep', () => {
    expect(ringResidualUm(0)).toBe(5);
    expect(ringResidualUm(2)).toBeCloseTo(2, 9);
    expect(ringResidualUm(100)).toBe(0.5);
  });
});

describe('budget of the total resistance', () => {
  it('states what a count and the reference cost', () => {
    const totalOhm = 9_000;
    const budget = totalResistanceBudget({ totalOhm, noiseCounts: 2 }, calibration, limits);
    const share = (ohm: number): number =>
      (ohm / (ohm + calibration.meter.seriesReferenceOhm)) * limits.fullScaleCounts;
    const perCount = 1 / (share(totalOhm + 0.5) - share(totalOhm - 0.5));
    const noise = budget.rows.find((row) => row.source === 'meter noise');
    expect(noise?.contribution).toBeCloseTo(2 * perCount, 6);
    const reference = budget.rows.find((row) => row.source === 'series reference');
    expect(reference?.contribution).toBeCloseTo(0.9, 9);
  });
});
