/** The approach bar of the live needle: how far the cell has come on its way to its target. Pure. */
import type { NeedleReading } from '../../../../src/contract/trim.ts';

export type Approach = Pick<NeedleReading, 'startOhm' | 'nowOhm' | 'targetOhm' | 'stopOhm'>;

export interface ApproachPlaces {
  /** 0..1 along the bar; the index mark never leaves it. Null without a fresh reading. */
  readonly now: number | null;
  readonly stop: number;
  readonly target: number;
}

/** The bar runs on beyond the target by this share of the way, so that an over-cut is seen. */
const beyond = 0.2;

export function approachPlaces({ startOhm, nowOhm, targetOhm, stopOhm }: Approach): ApproachPlaces {
  const way = (targetOhm - startOhm) * (1 + beyond);
  const place = (ohm: number): number => (way > 0 ? Math.min(1, Math.max(0, (ohm - startOhm) / way)) : 1);
  return { now: nowOhm === null ? null : place(nowOhm), stop: place(stopOhm), target: place(targetOhm) };
}

/** Ohm until the hand must stop, >= 0; null without a fresh reading. */
export const leftOhm = ({ nowOhm, stopOhm }: Approach): number | null =>
  nowOhm === null ? null : Math.max(0, stopOhm - nowOhm);

/** Longer than anybody cuts at one place, s: a rate that slow is the noise of a tool at rest. */
const longestS = 99;

/** Seconds until the stop line at the rate seen; null while nothing is cut. */
export function leftS(approach: Approach, rateOhmPerS: number | null): number | null {
  const left = leftOhm(approach);
  if (left === null || rateOhmPerS === null || !(rateOhmPerS > 0)) return null;
  const seconds = left / rateOhmPerS;
  return seconds > longestS ? null : seconds;
}

/** Places behind the decimal sign so that four figures of the target are read. */
export const ohmPlaces = (targetOhm: number): number =>
  targetOhm >= 1_000 ? 0 : Math.max(0, Math.min(3, 3 - Math.floor(Math.log10(Math.max(targetOhm, 1e-3)))));
