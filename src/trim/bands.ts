/** What the law allows at each tap, as ratios; what it allows of the total resistance. */
import { bandOfPoint } from '../law/band.ts';
import type { Law } from '../law/build.ts';
import { DB_PER_RELATIVE, ratioFromLoss } from '../law/decibel.ts';
import { unloadedRatio } from '../law/load.ts';
import type { TrackProfile, TrackTap } from './trim.ts';

/** Limits of the unloaded ratio at one tap. */
export interface TapLimits {
  readonly pointIndex: number;
  readonly travelMm: number;
  /** Quietest allowed; 0 = any greater loss is allowed. */
  readonly lowRatio: number;
  /** Loudest allowed. */
  readonly highRatio: number;
  /** Middle of the band in dB, or the law itself where the band has one side: where the margin is 1. */
  readonly aimRatio: number;
  /** U leaves nothing of the band, so no measurement could ever show a pass. */
  readonly closed: boolean;
}

export interface TrimLimits {
  readonly taps: readonly TapLimits[];
  readonly leastTotalOhm: number;
  readonly mostTotalOhm: number;
}

/** Expanded uncertainty of a tap, dB, k = 2. */
export function expandedDb(tap: TrackTap): number {
  return tap.ratio > 0 ? (2 * DB_PER_RELATIVE * tap.uRatio) / tap.ratio : Number.POSITIVE_INFINITY;
}

/**
 * Bands moved inwards by `guard` times U (1 = what a verdict of pass asks for, 0 = the bare band).
 *
 * For a law stated under load the unloaded ratio depends a little on the total resistance; `totalOhm` is the one
 * assumed (as it is now, or as the plan will make it).
 */
export function trimLimits(law: Law, profile: TrackProfile, guard: number, totalOhm = profile.totalOhm): TrimLimits {
  const { nominalOhm, toleranceFraction } = law.resistance;
  const guardOhm = guard * 2 * profile.uTotalOhm;
  const bare = (lossDb: number): number => {
    const ratio = ratioFromLoss(lossDb);
    return law.loadOhm === null ? ratio : unloadedRatio(ratio, law.loadOhm / totalOhm);
  };
  const taps = profile.taps.map((tap): TapLimits => {
    const { lossDb, lowerDb, upperDb } = bandOfPoint(law, tap.pointIndex);
    const guardDb = guard * expandedDb(tap);
    const loudest = lowerDb + guardDb;
    const quietest = upperDb === null ? null : upperDb - guardDb;
    const aimDb = upperDb === null ? lossDb : lossDb + (lowerDb + upperDb) / 2;
    const closed = !Number.isFinite(guardDb) || loudest > (quietest ?? 0);
    const { pointIndex, travelMm } = tap;
    if (closed)
      return { pointIndex, travelMm, lowRatio: bare(aimDb), highRatio: bare(aimDb), aimRatio: bare(aimDb), closed };
    return {
      pointIndex,
      travelMm,
      lowRatio: quietest === null ? 0 : bare(lossDb + quietest),
      highRatio: bare(lossDb + loudest),
      aimRatio: bare(aimDb),
      closed,
    };
  });
  // What lies behind the stops stays as it is, so a higher total brings the end losses nearer their limits.
  const { closedRatio = 0, openRatio = 1 } = profile;
  const closedOhm = closedRatio * profile.totalOhm;
  const openOhm = (1 - openRatio) * profile.totalOhm;
  return {
    taps,
    leastTotalOhm: Math.max(
      nominalOhm * (1 - toleranceFraction) + guardOhm,
      closedOhm / ratioFromLoss(law.closedMinLossDb),
      openOhm / (1 - ratioFromLoss(law.openMaxLossDb)),
    ),
    mostTotalOhm: nominalOhm * (1 + toleranceFraction) - guardOhm,
  };
}

/** Limits moved towards the aim by a margin: 0 = as they are, 1 = the aim alone, below 0 = wider. */
export function withMargin(limits: TrimLimits, margin: number): TrimLimits {
  return {
    ...limits,
    taps: limits.taps.map((tap) => ({
      ...tap,
      lowRatio: tap.lowRatio + (tap.lowRatio === 0 ? 0 : margin * (tap.aimRatio - tap.lowRatio)),
      highRatio: tap.highRatio - margin * (tap.highRatio - tap.aimRatio),
    })),
  };
}
