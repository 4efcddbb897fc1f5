/** What to do with a batch now, in one sentence. */
import type { RunRecord } from '../archive/records.ts';
import type { LawData } from '../law/law.ts';
import { type BatchFader, gatherFaders } from './batch-faders.ts';
import { count, fixed, listing, signed } from './format.ts';
import { pointStatistics } from './point-statistics.ts';
import { deviationSense, pointWords } from './point-words.ts';

/** From this share of void faders on, the station is suspected before the faders. */
const stationShare = 0.2;
/** A cause is common when at least this many rejected faders, and at least half of them, share it. */
const commonAtLeast = 3;

const serialsOf = (faders: readonly BatchFader[]): string => listing(faders.map(({ serial }) => serial));
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

const commonest = (texts: readonly string[]): string | null => {
  const counts = new Map<string, number>();
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1);
  let best: string | null = null;
  for (const [text, n] of counts) if (best === null || n > (counts.get(best) ?? 0)) best = text;
  return best;
};

const reasonOf = (run: RunRecord): string =>
  (run.verdictReason.trim() || run.outcomeReason?.trim() || 'no reason recorded').replace(/[.\s]+$/, '');

interface CommonPoint {
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
const commonFailure = (
  rejected: readonly BatchFader[],
  judged: readonly BatchFader[],
  law: LawData,
): CommonPoint | null => {
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
  if (failed < commonAtLeast || failed * 2 < rejected.length) return null;
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
};

const failClauses = (fails: readonly BatchFader[], judged: readonly BatchFader[], law: LawData): string[] => {
  const common = commonFailure(fails, judged, law);
  const failed = fails.length === 1 ? 'the fader that failed' : `the ${fails.length} faders that failed`;
  if (common === null) return [`Set aside ${failed} (${serialsOf(fails)})`];
  const limit = common.limitDb === null ? '' : `limit ${signed(common.limitDb, 2)} dB, `;
  return [
    `Tell the track shop that ${pointWords(law, common.travelMm)} is ${fixed(Math.abs(common.failedMeanDb), 2)} dB ${common.sense} ` +
      `on average in the ${common.failed} faders that fail there (${limit}mean of all ${common.measured} judged ` +
      `${signed(common.batchMeanDb, 2)} dB)`,
    `set aside ${failed}`,
  ];
};

const again = (faders: readonly BatchFader[], what: string): string =>
  faders.length === 1 ? `the ${what.replace('faders', 'fader')}` : `the ${faders.length} ${what}`;

const doubtClause = (doubts: readonly BatchFader[]): string =>
  `easure ${again(doubts, 'faders in doubt')} again with more conversions (${serialsOf(doubts)})`;

const voidClause = (voids: readonly BatchFader[]): string =>
  `easure ${again(voids, 'void faders')} again (${serialsOf(voids)})`;

/**
 * One sentence that says what to do next with the runs of a batch (any order, any number; runs judged against
 * another law or revision are left out). Station faults come first, then laundered rejects, fails, doubts,
 * single voids, and only then delivery.
 */
export function nextSentence(runs: readonly RunRecord[], law: LawData): string {
  const { faders } = gatherFaders(runs, law);
  if (faders.length === 0) {
    return 'Measure the first fader: clamp it, close the guard, scan its serial number, and its result will stand here.';
  }
  const withWord = (word: string): BatchFader[] => faders.filter(({ run }) => run.verdict === word);
  const [voids, fails, doubts, passes] = [withWord('void'), withWord('fail'), withWord('doubt'), withWord('pass')];
  const judged = faders.filter(({ run }) => run.verdict !== 'void');

  if (voids.length === faders.length || (voids.length >= 3 && voids.length >= stationShare * faders.length)) {
    const reason = commonest(voids.map(({ run }) => reasonOf(run))) ?? 'no reason recorded';
    return (
      `Mend the station first, because ${voids.length} of ${count(faders.length, 'fader')} came out void ` +
      `(most often: ${reason}), then m${voidClause(voids)}.`
    );
  }
  const laundered = faders.filter(({ failedBefore }) => failedBefore);
  if (laundered.length > 0) {
    return (
      `Hold back ${serialsOf(laundered)} and find out why: ${laundered.length === 1 ? 'it' : 'each'} failed in an earlier run ` +
      `and did not fail in the last one, which repeating alone does not explain.`
    );
  }
  const steps: string[] = [];
  if (fails.length > 0) steps.push(...failClauses(fails, judged, law));
  if (doubts.length > 0) steps.push(`${steps.length === 0 ? 'M' : 'm'}${doubtClause(doubts)}`);
  if (voids.length > 0) steps.push(`${steps.length === 0 ? 'M' : 'm'}${voidClause(voids)}`);
  if (steps.length > 0) return `${listing(steps, steps.length).replace(/ and m(?=easure)/, ' and then m')}.`;
  if (passes.every(({ run }) => run.rig?.isVirtual === true)) {
    return `Nothing is left to mend, since ${passes.length === 1 ? 'the one virtual fader passes' : `all ${passes.length} virtual faders pass`}: connect a real rig and measure real ones.`;
  }
  return passes.length === 1
    ? 'Deliver the fader: it passes.'
    : `Deliver all ${passes.length} faders: every one passes.`;
}
