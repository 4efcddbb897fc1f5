/** What a pass should do to every law point, and how sure that is. */

import { bandOfPoint } from '../law/band.ts';
import type { Law } from '../law/build.ts';
import { DB_PER_RELATIVE, lossFromRatio } from '../law/decibel.ts';
import { loadedRatio } from '../law/load.ts';
import { steepness } from './as-cut.ts';
import { trimLimits } from './bands.ts';
import { upperTail } from './normal.ts';
import { runningSums, sumOf } from './programme.ts';
import type { PlannedPoint, ToolBelief, TrackProfile } from './trim.ts';

export interface Prediction {
  readonly points: readonly PlannedPoint[];
  readonly totalAfterOhm: number;
  /** Standard deviation of the total after: gain, scatter, measurement. */
  readonly sdTotalOhm: number;
  /** Chance that the next measurement finds every point and the total inside, U counted in; a lower bound (the misses add up). */
  readonly chanceIn: number;
}

/**
 * Ratio after adding r: S' / T' with S' = sum below of (R + r). To first order a cell moves the loss of a point by
 * -8.686 r (1/S' - 1/T') when it lies below and by 8.686 r / T' when above. The gain is common to all cells, the
 * scatter each cell's own, the measurement each point's own.
 *
 * @param expectedOhm what each cell is expected to gain, mean gain included
 */
export function predict(
  profile: TrackProfile,
  law: Law,
  belief: Pick<ToolBelief, 'mean' | 'sd' | 'cutSd'>,
  expectedOhm: readonly number[],
): Prediction {
  const after = profile.cells.map((cell, i) => cell.ohm + (expectedOhm[i] ?? 0));
  const totalAfterOhm = sumOf(after);
  const below = runningSums(after);
  const belowNow = runningSums(profile.cells.map((cell) => cell.ohm));
  const gainSd = belief.mean > 0 ? belief.sd / belief.mean : 0;
  let missing = 0;
  const points = profile.taps.map((tap, p): PlannedPoint => {
    const band = bandOfPoint(law, tap.pointIndex);
    const sumOhm = below[p] ?? Number.NaN;
    let common = 0;
    let own = 0;
    expectedOhm.forEach((ohm, i) => {
      const db = DB_PER_RELATIVE * ohm * (1 / totalAfterOhm - (i <= p ? 1 / sumOhm : 0));
      const steep = steepness(profile.cells[i]?.ohm ?? 0, ohm);
      common += db * steep;
      own += (db * steep) ** 2;
    });
    const uDb = tap.ratio > 0 ? (DB_PER_RELATIVE * tap.uRatio) / tap.ratio : Number.POSITIVE_INFINITY;
    const sdAfterDb = Math.hypot(common * gainSd, Math.sqrt(own) * belief.cutSd, uDb);
    const deviationAfterDb = deviation(law, sumOhm / totalAfterOhm, totalAfterOhm, band.lossDb);
    missing += chanceBeyond(band.lowerDb + 2 * uDb - deviationAfterDb, sdAfterDb);
    if (band.upperDb !== null) missing += chanceBeyond(deviationAfterDb - (band.upperDb - 2 * uDb), sdAfterDb);
    return {
      pointIndex: tap.pointIndex,
      travelMm: tap.travelMm,
      deviationBeforeDb: deviation(law, (belowNow[p] ?? 0) / profile.totalOhm, profile.totalOhm, band.lossDb),
      deviationAfterDb,
      sdAfterDb,
    };
  });
  const spread = expectedOhm.map((ohm, i) => ohm * steepness(profile.cells[i]?.ohm ?? 0, ohm));
  const sdTotalOhm = Math.hypot(sumOf(spread) * gainSd, Math.hypot(...spread) * belief.cutSd, profile.uTotalOhm);
  const { leastTotalOhm, mostTotalOhm } = trimLimits(law, profile, 1);
  missing += chanceBeyond(leastTotalOhm - totalAfterOhm, sdTotalOhm);
  missing += chanceBeyond(totalAfterOhm - mostTotalOhm, sdTotalOhm);
  return { points, totalAfterOhm, sdTotalOhm, chanceIn: Math.max(0, 1 - missing) };
}

/** Chance that a normal value expected `excess` beyond a limit (negative: inside it) ends beyond. */
function chanceBeyond(excess: number, sd: number): number {
  return sd > 0 ? upperTail(-excess / sd) : excess > 0 ? 1 : 0;
}

/** Deviation of an unloaded ratio from the law, dB; the quietest number there is for a ratio of zero or less. */
function deviation(law: Law, ratio: number, totalOhm: number, lawDb: number): number {
  const loaded = law.loadOhm === null || !(ratio > 0) ? ratio : loadedRatio(ratio, law.loadOhm / totalOhm);
  return (lossFromRatio(loaded) ?? Number.POSITIVE_INFINITY) - lawDb;
}
