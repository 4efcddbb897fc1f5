/**
 * The live needle: the wiper stands at a tap while the operator cuts, and the ratio streams in. The target is that of one
 * cell alone, as a part of the total as it is at the moment, so the order in which cells are cut does not matter.
 */

/** A cell and where its needle stands, all ohm. */
export interface NeedleTarget {
  /** What the cell is to have, at the total it is aimed for. */
  readonly targetOhm: number;
  /** Ratio at the parked tap when the cell has it and no other cell has changed. */
  readonly targetRatio: number;
}

/** The state when the wiper was parked, before this cut. */
export interface ParkedCell {
  /** Resistance of the cell and of all cells below it, ohm. */
  readonly cellOhm: number;
  readonly belowOhm: number;
  readonly totalOhm: number;
}

/** Which side of the cell the wiper is parked at: the tap at its open side sees the cell below it, the other above. */
export type ParkedAt = 'openSide' | 'closedSide';

/** Ratio of the parked tap after the cell gained `addedOhm`: (S + r) / (Rp + r) or S / (Rp + r). */
export function ratioAfter(parked: ParkedCell, at: ParkedAt, addedOhm: number): number {
  const { cellOhm, belowOhm, totalOhm } = parked;
  const sumOhm = at === 'openSide' ? belowOhm + cellOhm + addedOhm : belowOhm;
  return sumOhm / (totalOhm + addedOhm);
}

/**
 * What the cell has gained, from the streamed ratio: the inverse of `ratioAfter`. Infinite where the tap does not move
 * with the cell (ratio 1 at the open side, 0 at the closed side).
 */
export function addedFromRatio(parked: ParkedCell, at: ParkedAt, ratio: number): number {
  const { cellOhm, belowOhm, totalOhm } = parked;
  return at === 'openSide' ? (ratio * totalOhm - belowOhm - cellOhm) / (1 - ratio) : belowOhm / ratio - totalOhm;
}

/** Resistance of a cell from the ratios at both its taps and the total as it is now: dy Rp. */
export function cellFromRatios(lowRatio: number, highRatio: number, totalOhm: number): number {
  return (highRatio - lowRatio) * totalOhm;
}

export function needleTarget(parked: ParkedCell, at: ParkedAt, addedOhm: number): NeedleTarget {
  return { targetOhm: parked.cellOhm + addedOhm, targetRatio: ratioAfter(parked, at, addedOhm) };
}

/** Which tap moves more, in dB, when the cell grows: the one to park at. Low on the track the tap above the cell wins. */
export function betterSide(parked: ParkedCell): ParkedAt {
  const { cellOhm, belowOhm, totalOhm } = parked;
  const open = 1 / (belowOhm + cellOhm) - 1 / totalOhm;
  return open >= 1 / totalOhm ? 'openSide' : 'closedSide';
}

export interface StopLineInput {
  readonly targetOhm: number;
  /** Cutting rate seen, ohm/s, >= 0. */
  readonly rateOhmPerS: number;
  /** From seeing the line to lifting the tool, s. */
  readonly reactionS: number;
  /** Delay of the reading itself (integration, line, screen), s. */
  readonly delayS: number;
  /** Standard uncertainty of the reading, ohm. */
  readonly uOhm: number;
}

/**
 * Reading at which to stop so that the cell ends on target: early by what is still cut during reading delay and reaction,
 * and by U of the reading, for a cell may be cut again but never back.
 */
export function stopLine({ targetOhm, rateOhmPerS, reactionS, delayS, uOhm }: StopLineInput): number {
  return targetOhm - Math.max(0, rateOhmPerS) * (Math.max(0, reactionS) + Math.max(0, delayS)) - 2 * uOhm;
}

export interface NeedleSample {
  readonly atS: number;
  readonly cellOhm: number;
}

/**
 * Cutting rate over the last `windowS`: least squares line, never below 0.
 *
 * @returns null when fewer than three samples or no time between them
 */
export function cuttingRate(samples: readonly NeedleSample[], windowS: number): number | null {
  const last = samples.at(-1);
  if (last === undefined) return null;
  const recent = samples.filter((sample) => last.atS - sample.atS <= windowS);
  if (recent.length < 3) return null;
  const meanS = recent.reduce((sum, s) => sum + s.atS, 0) / recent.length;
  const meanOhm = recent.reduce((sum, s) => sum + s.cellOhm, 0) / recent.length;
  let cross = 0;
  let square = 0;
  for (const { atS, cellOhm } of recent) {
    cross += (atS - meanS) * (cellOhm - meanOhm);
    square += (atS - meanS) ** 2;
  }
  return square > 0 ? Math.max(0, cross / square) : null;
}

/** How near the stop line a cell is: 0 = where it started, 1 = at the line or past it. */
export function approachOf(startOhm: number, lineOhm: number, nowOhm: number): number {
  if (nowOhm >= lineOhm) return 1;
  return Math.min(1, Math.max(0, (nowOhm - startOhm) / (lineOhm - startOhm)));
}

/** `stop` stays until the cut is acknowledged: dust or a lifted finger may make the needle fall back. */
export type NeedleWord = 'cut' | 'slow' | 'stop';

/** From here on the bar asks for a slow hand. */
const slowFrom = 0.8;

export function needleWord(approach: number, stoppedBefore: boolean): NeedleWord {
  if (stoppedBefore || !Number.isFinite(approach) || approach >= 1) return 'stop';
  return approach >= slowFrom ? 'slow' : 'cut';
}

/** Pitch of the tone, Hz: two octaves from far to the line, even steps of nearness being even steps of pitch. */
export function toneHz(approach: number): number {
  const near = Math.min(1, Math.max(0, approach));
  return 220 * 4 ** near;
}
