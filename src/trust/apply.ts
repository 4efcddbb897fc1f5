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
  /** Source resistance of the feed. */
  readonly sourceMilliohm: number;
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
 * Total resistance from the track channel with and without the series reference in the feed. The same feed E gives
 * T1 = E R / (R + Rs) without and T2 = E R / (R + Rs + Rref) with it, so R + Rs = Rref / (T1 / T2 - 1): feed voltage
 * and gain cancel.
 *
 * @param feedTrackCounts track channel in the normal feed, T1
 * @param ohmsTrackCounts track channel in an `ohms` reading, T2
 * @returns ohm; null when the two cannot come from a track
 */
export function totalResistanceOhm(
  feedTrackCounts: number,
  ohmsTrackCounts: number,
  calibration: Calibration,
  limits: MeterLimits,
): number | null {
  const { trackOffsetCounts, seriesReferenceOhm } = calibration.meter;
  const withReference = ohmsTrackCounts - trackOffsetCounts;
  const without = feedTrackCounts - trackOffsetCounts;
  if (!(withReference > 0 && without > withReference)) return null;
  const seen = seriesReferenceOhm / (without / withReference - 1) - limits.sourceMilliohm / 1000;
  const meterOhm = limits.meterInputKiloohm * 1000;
  if (!(seen > 0 && seen < meterOhm)) return null;
  // The meter lies across the track.
  return seen / (1 - seen / meterOhm);
}
