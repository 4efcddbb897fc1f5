/**
 * The uncertainty budget of a law point: the only place where its U comes from. Model (mean of both directions):
 *
 *   deviation = 1/2 sum over up, down of [ -20 log10((W - oW) / ((T - oT) g)) - law(p scale + zero -+ backlash/2) ]
 *
 * Noise, rounding, swing and contact are drawn anew in each direction; offset, gain, non-linearity, zero, homing,
 * screw and scale are the same in both; the backlash cancels. Position rows cost the local slope.
 */
import { DB_PER_RELATIVE } from '../law/decibel.ts';
import {
  contactPlaceMm,
  gainDriftPerK,
  homingDegrees,
  inkSpreadPerK,
  positionRoundingMm,
  ringResidualUm,
  temperatureHalfWidthK,
} from './assumptions.ts';
import { arcsine, type Budget, type BudgetRow, budgetRow, combine, rectangular, smallSampleFactor } from './budget.ts';
import type { Calibration } from './calibration.ts';

export interface PointBudgetInput {
  /** Ratio at the point, > 0. */
  readonly ratio: number;
  /** Track channel in the normal feed, counts, > 0. */
  readonly trackCounts: number;
  readonly travelMm: number;
  /** Local slope, the steepest known, dB/mm, >= 0. */
  readonly slopeDbPerMm: number;
  /** Slope of the law there, dB/mm, >= 0; decides how still the knob was made to stand. */
  readonly lawSlopeDbPerMm: number;
  /** Distance of the readings (mean) from the law's travel, mm. */
  readonly offsetMm: number;
  /** Standard uncertainty of the mean of each direction's conversions, counts. */
  readonly noiseCounts: readonly [up: number, down: number];
  /** Degrees of freedom behind the noise. */
  readonly noiseDegrees: number;
  /** Length of each reading, us. */
  readonly readingUs: number;
  /** Standard deviation of the play from place to place, mm (see `slideSpread`). */
  readonly playSdMm: number;
  /** Disagreement of the two directions beyond the fader's play, dB (see `directionExcessDb`). */
  readonly directionExcessDb: number;
}

/** What the budget needs of the rig's limits. */
export interface BudgetLimits {
  readonly fullScaleCounts: number;
  readonly resonanceMilliHz: number;
}

/** Budget in dB of the mean deviation of a law point, k = 2. */
export function pointBudget(input: PointBudgetInput, calibration: Calibration, limits: BudgetLimits): Budget {
  return combine([...meterRows(input, calibration, limits), ...positionRows(input, calibration, limits)], 'dB');
}

function meterRows(input: PointBudgetInput, calibration: Calibration, limits: BudgetLimits): BudgetRow[] {
  const { meter } = calibration;
  const wiperCounts = input.ratio * input.trackCounts * meter.gain;
  const dbPerCount = DB_PER_RELATIVE / wiperCounts;
  const [up, down] = input.noiseCounts;
  const exact = { degreesOfFreedom: null } as const;
  return [
    budgetRow({
      source: 'meter noise',
      kind: 'A',
      standardUncertainty: Math.hypot(up, down) / 2,
      inputUnit: 'counts',
      sensitivity: dbPerCount,
      degreesOfFreedom: input.noiseDegrees,
      basis: 'spread of the conversions, never below that of the whole run; mean of two directions',
    }),
    budgetRow({
      source: 'meter quantisation',
      kind: 'B',
      standardUncertainty: rectangular(0.5),
      inputUnit: 'counts',
      sensitivity: dbPerCount,
      ...exact,
      basis: 'half a count, rectangular, not averaged down',
    }),
    budgetRow({
      source: 'meter offset',
      kind: 'B',
      standardUncertainty: meter.uOffsetCounts,
      inputUnit: 'counts',
      sensitivity: dbPerCount,
      ...exact,
      basis: 'calibration',
    }),
    budgetRow({
      source: 'meter gain',
      kind: 'B',
      standardUncertainty: Math.hypot(meter.uGain, gainDriftPerK * rectangular(temperatureHalfWidthK)),
      inputUnit: 'relative',
      sensitivity: DB_PER_RELATIVE,
      ...exact,
      basis: 'calibration, and drift with temperature since',
    }),
    budgetRow({
      source: 'meter non-linearity, wiper channel',
      kind: 'B',
      standardUncertainty: rectangular(meter.nonLinearity * limits.fullScaleCounts),
      inputUnit: 'counts',
      sensitivity: dbPerCount,
      ...exact,
      basis: 'calibration: half width of full scale, rectangular',
    }),
    budgetRow({
      source: 'meter non-linearity, track channel',
      kind: 'B',
      standardUncertainty: rectangular(meter.nonLinearity * limits.fullScaleCounts),
      inputUnit: 'counts',
      sensitivity: DB_PER_RELATIVE / input.trackCounts,
      ...exact,
      basis: 'calibration: half width of full scale, rectangular',
    }),
    budgetRow({
      source: 'temperature of the inks',
      kind: 'B',
      standardUncertainty: inkSpreadPerK * rectangular(temperatureHalfWidthK),
      inputUnit: 'relative',
      // What lies below and above the wiper must differ to be seen, so nothing is left at the open end.
      sensitivity: DB_PER_RELATIVE * Math.max(0, 1 - input.ratio),
      ...exact,
      basis: 'inks within 50 ppm/K of each other, bench within 3 K of reference',
    }),
  ];
}

function positionRows(input: PointBudgetInput, calibration: Calibration, limits: BudgetLimits): BudgetRow[] {
  const { position } = calibration;
  const row = (
    source: string,
    standardUncertainty: number,
    basis: string,
    sensitivity: number = input.slopeDbPerMm,
  ): BudgetRow =>
    budgetRow({ source, kind: 'B', standardUncertainty, inputUnit: 'mm', sensitivity, degreesOfFreedom: null, basis });
  return [
    row('position zero', position.uZeroMm, 'calibration'),
    row(
      'homing',
      position.uHomeMm * smallSampleFactor(homingDegrees),
      'calibration: repeatability of the home switch, widened for few homings',
    ),
    row('lead screw', arcsine(position.screwAmplitudeMm), 'periodic error, not corrected, arcsine'),
    row('position scale', position.uScale * Math.abs(input.travelMm), 'calibration, grows with travel'),
    row('backlash', position.uBacklashMm / 2, 'half added down and taken up: cancels in the mean', 0),
    row(
      'position rounding',
      rectangular(positionRoundingMm) / Math.SQRT2,
      'whole um as reported; the step itself is known and judged where it is',
    ),
    row(
      'swing of the knob',
      swingMm(input, limits) / Math.SQRT2,
      'what is left after the wait, less what averages out',
    ),
    row('contact place', contactPlaceMm / Math.SQRT2, 'finger weights from visit to visit, two directions'),
    row('slide', input.playSdMm / 2, 'scatter of the play from place to place, mean of two arrivals'),
    budgetRow({
      source: 'disagreement of directions',
      kind: 'A',
      standardUncertainty: rectangular(input.directionExcessDb / 2),
      inputUnit: 'dB',
      sensitivity: 1,
      degreesOfFreedom: null,
      basis: 'beyond the play of the fader; one of the two may be wrong by all of it',
    }),
    row(
      'distance from the law point',
      rectangular(input.offsetMm),
      'slopes of fader and law may differ over it',
      Math.abs(input.slopeDbPerMm - input.lawSlopeDbPerMm),
    ),
  ];
}

/** Mean of a decaying swing over the reading: at most 2 / (w t) of its amplitude. Sine at unknown phase. */
function swingMm(input: PointBudgetInput, limits: BudgetLimits): number {
  const radians = 2 * Math.PI * (limits.resonanceMilliHz / 1000) * (input.readingUs / 1e6);
  const left = radians > 0 ? Math.min(1, 2 / radians) : 1;
  return arcsine((ringResidualUm(input.lawSlopeDbPerMm) / 1000) * left);
}
