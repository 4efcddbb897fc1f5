/** What the faders of a batch do at each law point. */
import type { VerdictWord } from '../archive/records.ts';
import type { LawData } from '../law/law.ts';
import type { BatchFader } from './batch-faders.ts';

export interface PointStatistics {
  readonly pointIndex: number;
  readonly travelMm: number;
  readonly lawDb: number;
  /** Deviation limits as recorded, dB; null where no run reached the point. */
  readonly lowerDb: number | null;
  readonly upperDb: number | null;
  /** Faders with a deviation here. */
  readonly measured: number;
  readonly meanDb: number | null;
  readonly smallestDb: number | null;
  readonly largestDb: number | null;
  readonly zones: Readonly<Record<VerdictWord, number>>;
  /** Faders whose worst point this is. */
  readonly worst: number;
}

/** One entry per law point, in the law's order. */
export function pointStatistics(faders: readonly BatchFader[], law: LawData): readonly PointStatistics[] {
  return law.points.map((lawPoint, pointIndex) => {
    const zones = { pass: 0, doubt: 0, fail: 0, void: 0 };
    let [measured, sumDb, worst] = [0, 0, 0];
    let [smallestDb, largestDb]: [number | null, number | null] = [null, null];
    let limits: { lowerDb: number; upperDb: number | null } | null = null;
    for (const { run } of faders) {
      if (run.worstPointIndex === pointIndex) worst += 1;
      const point = run.points.find((candidate) => candidate.pointIndex === pointIndex);
      if (point === undefined) continue;
      zones[point.zone] += 1;
      limits ??= { lowerDb: point.lowerDb, upperDb: point.upperDb };
      if (point.deviationDb === null) continue;
      measured += 1;
      sumDb += point.deviationDb;
      smallestDb = smallestDb === null ? point.deviationDb : Math.min(smallestDb, point.deviationDb);
      largestDb = largestDb === null ? point.deviationDb : Math.max(largestDb, point.deviationDb);
    }
    return {
      pointIndex,
      travelMm: lawPoint.travelMm,
      lawDb: lawPoint.lossDb,
      lowerDb: limits?.lowerDb ?? null,
      upperDb: limits?.upperDb ?? null,
      measured,
      meanDb: measured === 0 ? null : sumDb / measured,
      smallestDb,
      largestDb,
      zones,
      worst,
    };
  });
}
