/** Budgets of what is not a law point: closed and open loss (in ratio), total resistance, play. */
import { DB_PER_RELATIVE } from '../law/decibel.ts';
import { gainDriftPerK, temperatureHalfWidthK, trackGainAlone, trackPerK } from './assumptions.ts';
import { type Budget, budgetRow, combine, rectangular } from './budget.ts';
import type { Calibration } from './calibration.ts';

const exact = { degreesOfFreedom: null } as const;

/** Budget of a ratio read with the wiper on the end conductor, where position does not matter. Unit: ratio. */
export function endRatioBudget(
  input: {
    readonly ratio: number;
    readonly trackCounts: number;
    readonly noiseCounts: number;
    readonly noiseDegrees: number;
  },
  calibration: Calibration,
  limits: { readonly fullScaleCounts: number },
): Budget {
  const { meter } = calibration;
  const perCount = 1 / (input.trackCounts * meter.gain);
  const nonLinearity = rectangular(meter.nonLinearity * limits.fullScaleCounts);
  const counts = (source: string, kind: 'A' | 'B', u: number, basis: string, degreesOfFreedom: number | null = null) =>
    budgetRow({
      source,
      kind,
      standardUncertainty: u,
      inputUnit: 'counts',
      sensitivity: perCount,
      degreesOfFreedom,
      basis,
    });
  return combine(
    [
      counts('meter noise', 'A', input.noiseCounts, 'spread of the conversions', input.noiseDegrees),
      counts('meter quantisation', 'B', rectangular(0.5), 'half a count, rectangular'),
      counts('meter offset', 'B', meter.uOffsetCounts, 'calibration'),
      counts('meter non-linearity', 'B', nonLinearity * Math.hypot(1, input.ratio), 'calibration, both channels'),
      budgetRow({
        source: 'meter gain',
        kind: 'B',
        standardUncertainty: Math.hypot(meter.uGain, gainDriftPerK * rectangular(temperatureHalfWidthK)),
        inputUnit: 'relative',
        sensitivity: input.ratio,
        ...exact,
        basis: 'calibration, and drift with temperature since',
      }),
      budgetRow({
        source: 'temperature of track against ends',
        kind: 'B',
        standardUncertainty: trackPerK * rectangular(temperatureHalfWidthK),
        inputUnit: 'relative',
        sensitivity: Math.min(Math.abs(input.ratio), Math.abs(1 - input.ratio)),
        ...exact,
        basis: 'film changes 300 ppm/K against the end conductors',
      }),
    ],
    'ratio',
  );
}

/** U of a loss in dB from the budget of its ratio; null when the ratio is not above 0. */
export function lossUncertaintyDb(ratio: number, budget: Budget): number | null {
  return ratio > 0 ? (DB_PER_RELATIVE * budget.expanded) / ratio : null;
}

/** Budget of the total resistance, ohm. Model: R = Rref t / (1 - t), t = track counts / full scale. */
export function totalResistanceBudget(
  input: {
    readonly totalOhm: number;
    /** Standard uncertainty of the mean of the track reading, counts. */
    readonly noiseCounts: number;
  },
  calibration: Calibration,
  limits: { readonly fullScaleCounts: number },
): Budget {
  const { meter } = calibration;
  const { totalOhm } = input;
  // dR/dt = Rref / (1 - t)^2 and 1 - t = Rref / (R + Rref).
  const ohmPerCount = (totalOhm + meter.seriesReferenceOhm) ** 2 / meter.seriesReferenceOhm / limits.fullScaleCounts;
  const row = (source: string, kind: 'A' | 'B', u: number, inputUnit: string, sensitivity: number, basis: string) =>
    budgetRow({ source, kind, standardUncertainty: u, inputUnit, sensitivity, ...exact, basis });
  const nonLinearity = rectangular(meter.nonLinearity * limits.fullScaleCounts);
  return combine(
    [
      row('meter noise', 'A', input.noiseCounts, 'counts', ohmPerCount, 'noise of the run'),
      row('meter quantisation', 'B', rectangular(0.5), 'counts', ohmPerCount, 'half a count, rectangular'),
      row('meter offset', 'B', meter.uOffsetCounts, 'counts', ohmPerCount, 'calibration'),
      row('meter non-linearity', 'B', nonLinearity, 'counts', ohmPerCount, 'calibration'),
      row('series reference', 'B', meter.uSeriesReference, 'relative', totalOhm, 'calibration'),
      row(
        'gain of the track channel',
        'B',
        Math.hypot(
          trackGainAlone * Math.abs(totalOhm / meter.seriesReferenceOhm - 1),
          gainDriftPerK * rectangular(temperatureHalfWidthK) * (totalOhm / meter.seriesReferenceOhm + 1),
        ),
        'relative',
        totalOhm,
        'taken up by the reference at equal resistors; drift since',
      ),
      row(
        'temperature of the track',
        'B',
        trackPerK * rectangular(temperatureHalfWidthK),
        'relative',
        totalOhm,
        '300 ppm/K, bench within 3 K of reference',
      ),
    ],
    'ohm',
  );
}

/** Budget of the play, mm: the calibration's backlash stands whole in it, the points average. */
export function playBudget(
  input: {
    /** Standard uncertainty of one direction's deviation by noise and contact alone, dB, and the slope there, dB/mm. */
    readonly places: readonly { readonly noiseDb: number; readonly slopeDbPerMm: number }[];
    readonly playMm: number;
    /** Scatter of the play from place to place, mm. */
    readonly playSdMm: number;
    readonly contactPlaceMm: number;
  },
  calibration: Calibration,
): Budget {
  const { places } = input;
  const spread = places.map(({ noiseDb, slopeDbPerMm }) => Math.hypot(noiseDb / slopeDbPerMm, input.contactPlaceMm));
  // A median of n values scatters sqrt(pi/2) as much as their mean (for normal errors); two readings in each.
  const meanSquare = spread.reduce((sum, one) => sum + one * one, 0) / Math.max(1, places.length);
  const scatterMm = Math.sqrt((2 * meanSquare * (Math.PI / 2)) / Math.max(1, places.length));
  const slopeMm = 0.05 * Math.abs(input.playMm);
  const explainedMm = Math.hypot(Math.sqrt(2 * meanSquare), slopeMm);
  // A wiper that hangs back adds to the play wherever it jumps to: the scatter betrays about 0.4 of what it adds.
  const hangingMm = 2.5 * Math.sqrt(Math.max(0, input.playSdMm ** 2 - (1.5 * explainedMm) ** 2));
  const row = (source: string, kind: 'A' | 'B', u: number, basis: string) =>
    budgetRow({ source, kind, standardUncertainty: u, inputUnit: 'mm', sensitivity: 1, ...exact, basis });
  return combine(
    [
      row('backlash', 'B', calibration.position.uBacklashMm, 'calibration; play and backlash look alike'),
      row('scatter of the points', 'A', scatterMm, 'noise over slope, contact place, median of the points'),
      row('slope of the fader', 'B', slopeMm, 'chords stand for the slope on the spot, 5 %'),
      row('hanging slide', 'A', hangingMm, 'scatter between points beyond what noise and slope explain, x 2.5'),
    ],
    'mm',
  );
}
