/** The rows beside the word: worst point, its limit, U, closed loss, track. Pure; null texts are shown as gaps. */
import type { CheckRecord, PointRecord } from '../../../src/archive/records.ts';
import type { LawData } from '../../../src/law/law.ts';
import type { LivePoint } from '../../bridge/station.ts';
import { pointLimits, shareOf } from './axis.ts';

export interface WorstPlace {
  readonly travelMm: number;
  /** Text of the printed scale there; null where none is printed. */
  readonly mark: string | null;
  readonly deviationDb: number;
  /** The limit on the side of the deviation, dB; null = none on that side. */
  readonly limitDb: number | null;
  /** Null before the verdict. */
  readonly uncertaintyDb: number | null;
}

const markAt = (law: LawData, travelMm: number): string | null =>
  law.marks.find((mark) => Math.abs(mark.travelMm - travelMm) < 0.05)?.text ?? null;

export function recordedWorst(
  law: LawData,
  points: readonly PointRecord[],
  pointIndex: number | null,
): WorstPlace | null {
  const point = points.find((candidate) => candidate.pointIndex === pointIndex);
  if (point === undefined || point.deviationDb === null) return null;
  return {
    travelMm: point.travelMm,
    mark: markAt(law, point.travelMm),
    deviationDb: point.deviationDb,
    limitDb: point.deviationDb < 0 ? point.lowerDb : point.upperDb,
    uncertaintyDb: point.uncertaintyDb,
  };
}

/** The reading that uses up most of its limit so far. */
export function liveWorst(law: LawData, live: readonly LivePoint[]): WorstPlace | null {
  const limits = pointLimits(law);
  let worst: WorstPlace | null = null;
  let worstShare = -1;
  for (const { pointIndex, deviationDb } of live) {
    const edge = limits[pointIndex];
    if (deviationDb === null || edge === undefined) continue;
    const share = Math.abs(shareOf(deviationDb, edge));
    if (share <= worstShare) continue;
    worstShare = share;
    worst = {
      travelMm: edge.travelMm,
      mark: markAt(law, edge.travelMm),
      deviationDb,
      limitDb: deviationDb < 0 ? edge.lowerDb : edge.upperDb,
      uncertaintyDb: null,
    };
  }
  return worst;
}

export const checkNamed = (checks: readonly CheckRecord[] | null, name: CheckRecord['name']): CheckRecord | null =>
  checks?.find((check) => check.name === name) ?? null;
