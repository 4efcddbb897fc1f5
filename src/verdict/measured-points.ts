/** From raw readings to deviations of both directions, before any judgement. */
import type { Law } from '../law/build.ts';
import { shiftedLoss, slopeAt } from '../law/curve.ts';
import { DB_PER_RELATIVE } from '../law/decibel.ts';
import { lossAtLawLoad } from '../law/load.ts';
import { applyReading } from '../trust/apply.ts';
import type { Calibration } from '../trust/calibration.ts';
import { isUnsteady, meanNoiseCounts, pooledNoiseCounts } from '../trust/noise.ts';
import type { JudgedReading, JudgeLimits } from './readings.ts';

/** One direction of a point, calibrated. */
export interface MeasuredDirection {
  readonly travelMm: number;
  readonly ratio: number;
  readonly trackCounts: number;
  readonly lossDb: number;
  /** Loss at the law's load minus the law at the very travel of the reading, dB. */
  readonly deviationDb: number;
  readonly noiseCounts: number;
  readonly noiseDegrees: number;
  readonly readingUs: number;
}

/** A direction, or why there is none. */
export type DirectionFinding =
  | { readonly measured: MeasuredDirection; readonly problem: null }
  | { readonly measured: null; readonly problem: string };

/** Further from the law's travel than this the reading is of another place, mm. */
const strayMm = 0.25;
/** Scatter that is no settled contact, relative to the reading: 0.5 %, 0.04 dB. */
const unsteadyFraction = 0.005;

export interface MeasuringContext {
  readonly law: Law;
  readonly calibration: Calibration;
  readonly limits: JudgeLimits;
  /** Track resistance used for loading corrections, ohm. */
  readonly trackOhm: number;
  readonly readings: readonly JudgedReading[];
}

/** The reading of a point in one direction as a deviation from the law. Pure: same readings, same finding. */
export function measureDirection(
  pointIndex: number,
  direction: 'up' | 'down',
  context: MeasuringContext,
): DirectionFinding {
  const { law, calibration, limits, trackOhm, readings } = context;
  const nothing = (problem: string): DirectionFinding => ({ measured: null, problem });
  const reading = latest(
    readings,
    (r) => r.purpose === 'point' && r.pointIndex === pointIndex && r.direction === direction,
  );
  const point = law.points[pointIndex];
  if (reading === undefined || point === undefined) return nothing(`not measured ${inWords(direction)}`);
  if (reading.overRange) return nothing(`the meter was over range ${inWords(direction)}`);
  const pooled = pooledNoiseCounts(readings, reading.integrationUs);
  if (isUnsteady(reading, pooled, unsteadyFraction * Math.abs(reading.wiperCounts))) {
    return nothing(`the contact was unsteady ${inWords(direction)}`);
  }
  const applied = applyReading(reading, direction, calibration, limits, trackOhm);
  const lossDb = lossAtLawLoad(law, applied.lossDb, trackOhm);
  if (applied.ratio === null || lossDb === null) return nothing(`no signal from the wiper ${inWords(direction)}`);
  if (!(Math.abs(applied.travelMm - point.travelMm) <= strayMm)) {
    return nothing(`the carriage stood at ${applied.travelMm.toFixed(2)} mm ${inWords(direction)}`);
  }
  const noiseCounts = meanNoiseCounts(reading, pooled);
  if (noiseCounts === null) return nothing(`the spread of the reading is not known ${inWords(direction)}`);
  return {
    problem: null,
    measured: {
      travelMm: applied.travelMm,
      ratio: applied.ratio,
      trackCounts: reading.trackCounts,
      lossDb,
      deviationDb: lossDb - shiftedLoss(law, applied.travelMm),
      noiseCounts,
      noiseDegrees: Math.max(1, reading.conversions - 1),
      readingUs: reading.integrationUs * reading.conversions,
    },
  };
}

/** Standard uncertainty of one direction by noise alone, dB. */
export function noiseDb(measured: MeasuredDirection, gain: number): number {
  return (DB_PER_RELATIVE * measured.noiseCounts) / (measured.ratio * measured.trackCounts * gain);
}

/** Slope of the law on a point, the steeper side, dB/mm, >= 0. */
export function lawSlope(law: Law, pointIndex: number): number {
  const point = law.points[pointIndex];
  return point === undefined ? 0 : Math.abs(slopeAt(law, point.travelMm) ?? 0);
}

/** The last reading of a kind: a repeated one replaces the first within the same run. */
export function latest(
  readings: readonly JudgedReading[],
  isIt: (reading: JudgedReading) => boolean,
): JudgedReading | undefined {
  return readings.findLast(isIt);
}

export const inWords = (direction: 'up' | 'down'): string => (direction === 'up' ? 'moving up' : 'moving down');
