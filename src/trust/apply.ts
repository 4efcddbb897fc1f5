/**
 * From the rig's raw numbers to travel, ratio, loss and ohm, by a calibration. Raw numbers stay as they are; what
 * cannot be computed is null.
 */
import { lossFromRatio } from '../law/decibel.ts';
import { unloadedRatio } from '../law/load.ts';
import type { Calibration } from './calibration.ts';

/** Side from which the position was reached; `still` = unknown or pressed against a stop: no backlash share. */
export type TravelDirection = 'up' | 'down' | 'still';

/** The part of a raw reading that a calibration works on. */
export interface RawCounts {
  readonly positionUm: number;
  readonly wiperCounts: number;
  readonly trackCounts: number;
  readonly overRange: boolean;
}

/** What the rig reports about its meter; a subset of its limits. */
export interface MeterLimits {
  /** Counts at ratio 1 of the reference. */
  readonly fullScaleCounts: number;
  readonly meterInputKiloohm: number;
}

export interface AppliedReading {
  readonly travelMm: number;
  /** Unloaded ratio, meter input taken out. Null when over range, without feed, or beyond -0.1..1.1. */
  readonly ratio: number | null;
  /** dB; null also when the ratio is 0 or less. */
  readonly lossDb: number | null;
}

/** Half of the backlash is added moving down and taken moving up. */
function backlashShareMm(direction: TravelDirection, calibration: Calibration): number {
  const half = calibration.position.backlashMm / 2;
  return direction === 'down' ? half : direction === 'up' ? -half : 0;
}

/** Travel in mm from the closed end: (positionUm / 1000) * scale + zero, then the backlash share of the direction. */
export function travelMmOf(positionUm: number, direction: TravelDirection, calibration: Calibration): number {
  const { scale, zeroMm } = calibration.position;
  return (positionUm / 1000) * scale + zeroMm + backlashShareMm(direction, calibration);
}

/** Rig position in whole um for a travel reached from `direction`: the inverse of `travelMmOf`. */
export function positionUmFor(travelMm: number, direction: TravelDirection, calibration: Calibration): number {
  const { scale, zeroMm } = calibration.position;
  return Math.round(((travelMm - zeroMm - backlashShareMm(direction, calibration)) / scale) * 1000);
}

/** Wiper over track counts, offsets and gain corrected, before the meter's load is taken out. */
export function ratioAtMeter(raw: RawCounts, calibration: Calibration): number | null {
  const { offsetCounts, trackOffsetCounts, gain } = calibration.meter;
  const track = (raw.trackCounts - trackOffsetCounts) * gain;
  if (raw.overRange || !(track > 0) || !Number.isFinite(raw.wiperCounts)) return null;
  return (raw.wiperCounts - offsetCounts) / track;
}

/**
 * One reading, calibrated.
 *
 * @param trackOhm total resistance of the track (> 0), for taking out the meter's input resistance
 */
export function applyReading(
  raw: RawCounts,
  direction: TravelDirection,
  calibration: Calibration,
  limits: MeterLimits,
  trackOhm: number,
): AppliedReading {
  const travelMm = travelMmOf(raw.positionUm, direction, calibration);
  const loaded = ratioAtMeter(raw, calibration);
  // Further out it is no divider's reading (a loose sense lead, say) and must not become a number.
  if (loaded === null || loaded < -0.1 || loaded > 1.1) return { travelMm, ratio: null, lossDb: null };
  const ratio = unloadedRatio(loaded, (limits.meterInputKiloohm * 1000) / trackOhm);
  return { travelMm, ratio, lossDb: lossFromRatio(ratio) };
}

/**
 * Total resistance from the track channel with the series reference in the feed: the feed is the converter's own
 * reference, so t = T / full scale = R / (R + Rref) and R = Rref t / (1 - t), less what the meter draws.
 *
 * @param ohmsTrackCounts track channel in an `ohms` reading
 * @returns ohm; null when the counts cannot come from a track
 */
export function totalResistanceOhm(
  ohmsTrackCounts: number,
  calibration: Calibration,
  limits: MeterLimits,
): number | null {
  const { trackOffsetCounts, seriesReferenceOhm } = calibration.meter;
  const share = (ohmsTrackCounts - trackOffsetCounts) / limits.fullScaleCounts;
  if (!(share > 0 && share < 1)) return null;
  const seen = (seriesReferenceOhm * share) / (1 - share);
  const meterOhm = limits.meterInputKiloohm * 1000;
  // The meter lies across the track.
  return seen < meterOhm ? seen / (1 - seen / meterOhm) : null;
}
