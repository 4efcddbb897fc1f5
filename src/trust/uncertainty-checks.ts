/** Budgets of what is not a law point: closed and open loss (in ratio), total resistance, play. */
import { DB_PER_RELATIVE } from '../law/decibel.ts';
import { gainDriftPerK, sourceFraction, temperatureHalfWidthK, trackPerK } from './assumptions.ts';
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

/** Budget of the total resistance, ohm. Model: R = Rref / (T1 / T2 - 1) - Rs. */
export function totalResistanceBudget(
  input: {
    readonly totalOhm: number;
    readonly feedTrackCounts: number;
    readonly ohmsTrackCounts: number;
    /** Standard uncertainty of the mean of a track reading, counts. */
    readonly noiseCounts: number;
  },
  calibration: Calibration,
  limits: { readonly fullScaleCounts: number; readonly sourceMilliohm: number },
): Budget {
  const { meter } = calibration;
  const { totalOhm, feedTrackCounts, ohmsTrackCounts } = input;
  const quotient = feedTrackCounts / ohmsTrackCounts;
  const ohmPerQuotient = meter.seriesReferenceOhm / (quotient - 1) ** 2;
  const relative = (counts: number): number =>
    quotient * Math.hypot(counts / feedTrackCounts, counts / ohmsTrackCounts);
  const row = (source: string, kind: 'A' | 'B', u: number, inputUnit: string, sensitivity: number, basis: string) =>
    budgetRow({ source, kind, standardUncertainty: u, inputUnit, sensitivity, ...exact, basis });
  const nonLinearity = rectangular(meter.nonLinearity * limits.fullScaleCounts);
  const sourceOhm = limits.sourceMilliohm / 1000;
  const seenOhm = totalOhm + sourceOhm;
  return combine(
    [
      row('meter noise', 'A', relative(input.noiseCounts), 'ratio', ohmPerQuotient, 'noise of the run, both readings'),
      row('meter quantisation', 'B', relative(rectangular(0.5)), 'ratio', ohmPerQuotient, 'half a count, rectangular'),
      row('meter offset', 'B', relative(meter.uOffsetCounts), 'ratio', ohmPerQuotient, 'calibration'),
      row('meter non-linearity', 'B', relative(nonLinearity), 'ratio', ohmPerQuotient, 'calibration'),
      row('series reference', 'B', meter.uSeriesReference, 'relative', seenOhm, 'calibration'),
      row('source of the feed', 'B', sourceFraction * sourceOhm, 'ohm', 1, 'stated value, 2 %'),
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
    readonly contactPlaceMm: number;
  },
  calibration: Calibration,
): Budget {
  const { places } = input;
  const spread = places.map(({ noiseDb, slopeDbPerMm }) => Math.hypot(noiseDb / slopeDbPerMm, input.contactPlaceMm));
  // A median of n values scatters sqrt(pi/2) as much as their mean (for normal errors); two readings in each.
  const meanSquare = spread.reduce((sum, one) => sum + one * one, 0) / Math.max(1, places.length);
  const scatterMm = Math.sqrt((2 * meanSquare * (Math.PI / 2)) / Math.max(1, places.length));
  const row = (source: string, kind: 'A' | 'B', u: number, basis: string) =>
    budgetRow({ source, kind, standardUncertainty: u, inputUnit: 'mm', sensitivity: 1, ...exact, basis });
  return combine(
    [
      row('backlash', 'B', calibration.position.uBacklashMm, 'calibration; play and backlash look alike'),
      row('scatter of the points', 'A', scatterMm, 'noise over slope, contact place, median of the points'),
      row('slope of the fader', 'B', 0.05 * Math.abs(input.playMm), 'chords stand for the slope on the spot, 5 %'),
    ],
    'mm',
  );
}
