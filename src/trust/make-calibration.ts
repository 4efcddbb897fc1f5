/**
 * Calibrations from what was measured at the bench: position from two gauges, meter from fixed dividers. Pure.
 * What is not measured anew is taken from the calibration before.
 */
import { ratioFromLoss } from '../law/decibel.ts';
import type { Calibration } from './calibration.ts';

export interface GaugeMark {
  /** True travel of the gauge, mm. */
  readonly travelMm: number;
  /** Rig position at which the knob met it, um. */
  readonly positionUm: number;
  /** The way the knob came to it; absent or null = not known. */
  readonly approach?: 'up' | 'down' | null | undefined;
}

export interface DividerMark {
  readonly nominalLossDb: number;
  readonly wiperCounts: number;
  readonly trackCounts: number;
  readonly sdCounts: number | null;
}

export class CalibrationRefusedError extends Error {
  readonly code = 'calibration.refused';
  readonly userFixable = true;
  override readonly name = 'CalibrationRefusedError';
}

/** Gauges nearer than this leave the scale too badly known. */
const leastGaugeSpanMm = 30;
/** A scale further from 1 means a gauge was mixed up, not a worn screw. */
const widestScaleError = 0.01;
/** Standard uncertainty of setting a knob against a gauge by hand, mm: common practice, no source. */
const uGaugeMm = 0.01;
/** Largest believable meter offset, as a fraction of full scale. */
const widestOffset = 0.001;

export function positionFromGauges(
  [first, second]: readonly [GaugeMark, GaugeMark],
  before: Calibration['position'],
): Calibration['position'] {
  // Two gauges touched without saying how are taken as touched the same way, which leaves the scale as it is.
  const isSideKnown = [first, second].every(({ approach }) => approach === 'up' || approach === 'down');
  // Where the middle of the backlash stood: a knob that came up stands half of it behind, one that came down before.
  const middleMm = ({ travelMm, approach }: GaugeMark): number =>
    isSideKnown ? travelMm + (approach === 'up' ? before.backlashMm / 2 : -before.backlashMm / 2) : travelMm;
  const travelSpan = middleMm(second) - middleMm(first);
  const rigSpan = (second.positionUm - first.positionUm) / 1000;
  if (Math.abs(travelSpan) < leastGaugeSpanMm) {
    throw new CalibrationRefusedError(
      `The gauges lie ${Math.abs(travelSpan).toFixed(1)} mm apart; at least ${leastGaugeSpanMm} mm are needed to know the scale. Use gauges nearer the two ends.`,
    );
  }
  const scale = travelSpan / rigSpan;
  if (!(Math.abs(scale - 1) <= widestScaleError)) {
    throw new CalibrationRefusedError(
      `The rig moved ${rigSpan.toFixed(3)} mm for ${travelSpan.toFixed(3)} mm of gauges. More than 1 % apart means a gauge or a mark was mixed up: take both again.`,
    );
  }
  const uSideMm = isSideKnown ? before.uBacklashMm / 2 : before.backlashMm / 2;
  return {
    ...before,
    scale,
    zeroMm: middleMm(first) - (first.positionUm / 1000) * scale,
    uZeroMm: Math.hypot(uGaugeMm, before.uHomeMm, uSideMm),
    uScale: (uGaugeMm * Math.SQRT2) / Math.abs(travelSpan),
  };
}

/**
 * Offset from the weakest divider, gain from the strongest, and a check with those between.
 * @param fullScaleCounts counts at ratio 1 of the reference
 */
export function meterFromDividers(
  dividers: readonly DividerMark[],
  before: Calibration['meter'],
  fullScaleCounts: number,
): Calibration['meter'] {
  const ordered = dividers.toSorted((a, b) => a.nominalLossDb - b.nominalLossDb);
  const [strong, weak] = [ordered[0], ordered.at(-1)];
  if (strong === undefined || weak === undefined || new Set(ordered.map((d) => d.nominalLossDb)).size < 3) {
    throw new CalibrationRefusedError('All three dividers are needed: -20, -40 and -60 dB. Read the missing ones.');
  }
  // wiper = offset + ratio * track * gain, for two known ratios.
  const strongShare = ratioFromLoss(strong.nominalLossDb) * (strong.trackCounts - before.trackOffsetCounts);
  const weakShare = ratioFromLoss(weak.nominalLossDb) * (weak.trackCounts - before.trackOffsetCounts);
  const gain = (strong.wiperCounts - weak.wiperCounts) / (strongShare - weakShare);
  const offsetCounts = weak.wiperCounts - gain * weakShare;
  if (!(Math.abs(gain - 1) <= widestScaleError)) {
    throw new CalibrationRefusedError(
      `The dividers give a gain of ${gain.toFixed(4)}. More than 1 % from 1 means a divider was mixed up or sits badly: read all three again.`,
    );
  }
  if (!(Math.abs(offsetCounts) <= widestOffset * fullScaleCounts)) {
    throw new CalibrationRefusedError(
      `The dividers give an offset of ${offsetCounts.toFixed(0)} counts, more than ${(widestOffset * fullScaleCounts).toFixed(0)}. Check sense leads and dividers, then read all three again.`,
    );
  }
  const meter = { ...before, gain, offsetCounts };
  for (const divider of ordered) refuseIfOff(divider, meter);
  const noise = Math.max(...ordered.map((divider) => divider.sdCounts ?? 0));
  return { ...meter, uOffsetCounts: Math.max(noise, 1), uGain: Math.max(10e-6, noise / Math.abs(strongShare)) };
}

/** A divider that the straight line misses by more than this is not the divider it is said to be. */
const widestMissDb = 0.05;

function refuseIfOff({ nominalLossDb, wiperCounts, trackCounts }: DividerMark, meter: Calibration['meter']): void {
  const ratio = (wiperCounts - meter.offsetCounts) / ((trackCounts - meter.trackOffsetCounts) * meter.gain);
  const missDb = ratio > 0 ? -20 * Math.log10(ratio) - nominalLossDb : Number.POSITIVE_INFINITY;
  if (Math.abs(missDb) > widestMissDb) {
    throw new CalibrationRefusedError(
      `The ${nominalLossDb} dB divider reads ${missDb.toFixed(3)} dB off the line through the others. Check that it is the right one and sits well, then read it again.`,
    );
  }
}
