/** What the rejected faders of a batch have in common: a law point, or a check beside the law. */
import type { CheckRecord } from '../archive/records.ts';
import type { LawData } from '../law/law.ts';
import type { BatchFader } from './batch-faders.ts';
import { pointStatistics } from './point-statistics.ts';
import { deviationSense } from './point-words.ts';

/** A cause is common when at least this many rejected faders, and at least half of them, share it. */
const commonAtLeast = 3;
const isCommon = (sharing: number, rejected: number): boolean => sharing >= commonAtLeast && sharing * 2 >= rejected;

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

export interface CommonPoint {
  readonly travelMm: number;
  readonly sense: string;
  /** Mean over the faders that fail here on this side, and how many they are. */
  readonly failedMeanDb: number;
  readonly failed: number;
  readonly limitDb: number | null;
  /** Mean over every judged fader. */
  readonly batchMeanDb: number;
  readonly measured: number;
}

interface FailsAt {
  readonly pointIndex: number;
  readonly sense: string;
  readonly deviationsDb: number[];
  readonly limitDb: number | null;
}

/**
 * The law point at which most rejected faders fail on the same side (a wrong ink makes several neighbouring
 * points fail, and chance says which of them is each fader's worst); null where causes differ.
 */
export function commonPoint(
  rejected: readonly BatchFader[],
  judged: readonly BatchFader[],
  law: LawData,
): CommonPoint | null {
  const failures = new Map<string, FailsAt>();
  for (const { run } of rejected) {
    for (const { pointIndex, zone, deviationDb, lowerDb, upperDb } of run.points) {
      if (zone !== 'fail' || deviationDb === null) continue;
      const sense = deviationSense(deviationDb);
      const key = `${pointIndex} ${sense}`;
      const at = failures.get(key) ?? {
        pointIndex,
        sense,
        deviationsDb: [],
        limitDb: deviationDb > 0 ? upperDb : lowerDb,
      };
      at.deviationsDb.push(deviationDb);
      failures.set(key, at);
    }
  }
  const excess = ({ deviationsDb, limitDb }: FailsAt): number => Math.abs(mean(deviationsDb) / (limitDb ?? 1));
  const [most] = [...failures.values()].sort(
    (a, b) => b.deviationsDb.length - a.deviationsDb.length || excess(b) - excess(a),
  );
  if (most === undefined) return null;
  const failed = most.deviationsDb.length;
  if (!isCommon(failed, rejected.length)) return null;
  const statistics = pointStatistics(judged, law)[most.pointIndex];
  if (statistics === undefined || statistics.meanDb === null) return null;
  return {
    travelMm: statistics.travelMm,
    sense: most.sense,
    failedMeanDb: mean(most.deviationsDb),
    failed,
    limitDb: most.limitDb,
    batchMeanDb: statistics.meanDb,
    measured: statistics.measured,
  };
}

export interface CommonCheck {
  readonly name: CheckRecord['name'];
  readonly unit: CheckRecord['unit'];
  /** Mean over the faders that fail the check, and how many they are. */
  readonly failedMean: number;
  readonly failed: number;
  readonly lower: number | null;
  readonly upper: number | null;
}

/** The check that most rejected faders fail on the same side; null where none is common. */
export function commonCheck(rejected: readonly BatchFader[]): CommonCheck | null {
  const failures = new Map<string, { check: CheckRecord; values: number[] }>();
  for (const { run } of rejected) {
    for (const check of run.checks) {
      if (check.zone !== 'fail' || check.value === null) continue;
      const key = `${check.name} ${check.lower !== null && check.value < check.lower ? 'low' : 'high'}`;
      const at = failures.get(key) ?? { check, values: [] };
      at.values.push(check.value);
      failures.set(key, at);
    }
  }
  const [most] = [...failures.values()].sort((a, b) => b.values.length - a.values.length);
  if (most === undefined || !isCommon(most.values.length, rejected.length)) return null;
  const { name, unit, lower, upper } = most.check;
  return { name, unit, failedMean: mean(most.values), failed: most.values.length, lower, upper };
}
