/** What strip, chart and rows of the Bench share: the upright travel axis, and deviations as share of their limit. Pure. */
import { bandOfPoint } from '../../../src/law/band.ts';
import type { Law } from '../../../src/law/build.ts';
import type { SlotEdge } from '../../charts/slot.ts';
import { deviationReachDb } from '../../charts/slot-edges.ts';

export type DeviationScale = 'dB' | 'share';

/** Where the drawing begins and ends inside its cell, px. */
export interface TravelFrame {
  readonly heightPx: number;
  readonly topPx: number;
  readonly bottomPx: number;
}

/** Height of a travel in its cell: closed at the bottom, open at the top. */
export function placeOfTravel(travelMm: number, fullTravelMm: number, frame: TravelFrame): number {
  const room = frame.heightPx - frame.topPx - frame.bottomPx;
  return frame.topPx + (1 - travelMm / fullTravelMm) * room;
}

/** How far the axis reaches to either side when limits are drawn as 1. */
const shareReach = 2;

/** How far the deviation axis reaches to either side, in dB or as share of the limit. */
export const reachOf = (edges: readonly SlotEdge[], scale: DeviationScale): number =>
  scale === 'share' ? shareReach : deviationReachDb(edges);

/** The same slot with every limit as 1; U as share of the nearer limit. */
export function asShare(edges: readonly SlotEdge[]): readonly SlotEdge[] {
  return edges.map(({ travelMm, lowerDb, upperDb, uncertaintyDb }) => ({
    travelMm,
    lowerDb: -1,
    upperDb: upperDb === null ? null : 1,
    uncertaintyDb:
      uncertaintyDb === null ? null : uncertaintyDb / Math.min(-lowerDb, upperDb ?? Number.POSITIVE_INFINITY),
  }));
}

export interface PointLimits {
  readonly travelMm: number;
  /** < 0 */
  readonly lowerDb: number;
  /** > 0; null = none. */
  readonly upperDb: number | null;
}

/** The limits at every point of the law, by index. */
export const pointLimits = (law: Law): readonly PointLimits[] =>
  law.points.map(({ travelMm }, index) => {
    const { lowerDb, upperDb } = bandOfPoint(law, index);
    return { travelMm, lowerDb, upperDb };
  });

/**
 * A deviation as share of the limit on its own side, -1..1 inside the limits.
 * @returns 0 on a side without a limit: nothing of a limit is used up there
 */
export function shareOf(deviationDb: number, limits: Pick<PointLimits, 'lowerDb' | 'upperDb'>): number {
  if (deviationDb < 0) return deviationDb / -limits.lowerDb;
  return limits.upperDb === null ? 0 : deviationDb / limits.upperDb;
}
