/** What to do with a batch now, in one sentence. */
import type { RunRecord } from '../archive/records.ts';
import type { LawData } from '../law/law.ts';
import { type BatchFader, gatherFaders } from './batch-faders.ts';
import { count, fixed, listing } from './format.ts';
import { pointStatistics } from './point-statistics.ts';
import { deviationSense, pointWords } from './point-words.ts';

/** From this share of void faders on, the station is suspected before the faders. */
const stationShare = 0.2;
/** A worst point is common when at least this many rejected faders, and at least half of them, share it. */
const commonAtLeast = 3;

const serialsOf = (faders: readonly BatchFader[]): string => listing(faders.map(({ serial }) => serial));
const them = (faders: readonly unknown[]): string => (faders.length === 1 ? 'it' : 'them');

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
  readonly pointIndex: number;
  readonly meanDb: number;
  readonly limitDb: number | null;
  readonly measured: number;
  readonly rejected: number;
}

/** The law point that most rejected faders share as their worst, on the same side; null where causes differ. */
const commonWorstPoint = (
  rejected: readonly BatchFader[],
  judged: readonly BatchFader[],
  law: LawData,
): CommonPoint | null => {
  const keys: string[] = [];
  for (const { run } of rejected) {
    if (run.worstPointIndex === null || run.worstDeviationDb === null) continue;
    // Only a fader that is outside at a law point says something about that point.
    if (!run.points.some((point) => point.pointIndex === run.worstPointIndex && point.zone === 'fail')) continue;
    keys.push(`${run.worstPointIndex} ${deviationSense(run.worstDeviationDb)}`);
  }
  const best = commonest(keys);
  if (best === null) return null;
  const shared = keys.filter((key) => key === best).length;
  if (shared < commonAtLeast || shared * 2 < rejected.length) return null;
  const [index, ...sense] = best.split(' ');
  const statistics = pointStatistics(judged, law)[Number(index)];
  if (statistics === undefined || statistics.meanDb === null) return null;
  // The rest of the batch may lie on the other side: then it is no shift of the whole batch.
  if (deviationSense(statistics.meanDb) !== sense.join(' ')) return null;
  return {
    pointIndex: statistics.pointIndex,
    meanDb: statistics.meanDb,
    limitDb: statistics.meanDb > 0 ? statistics.upperDb : statistics.lowerDb,
    measured: statistics.measured,
    rejected: shared,
  };
};

const failClause = (fails: readonly BatchFader[], judged: readonly BatchFader[], law: LawData): string => {
  const common = commonWorstPoint(fails, judged, law);
  if (common === null) return `Set aside the ${count(fails.length, 'fader')} that failed (${serialsOf(fails)})`;
  const where = pointWords(law, law.points[common.pointIndex]?.travelMm ?? Number.NaN);
  const limit = common.limitDb === null ? '' : ` (limit ${fixed(Math.abs(common.limitDb), 2)} dB)`;
  const amount = `${fixed(Math.abs(common.meanDb), 2)} dB ${deviationSense(common.meanDb)} on average`;
  return (
    `Tell the track shop that ${where} is ${amount} over ${count(common.measured, 'fader')}${limit} ` +
    `and is the worst point of ${common.rejected} of the ${count(fails.length, 'failed fader')}, and set ${them(fails)} aside`
  );
};

const doubtClause = (doubts: readonly BatchFader[]): string =>
  `easure the ${count(doubts.length, 'fader')} in doubt again with more conversions (${serialsOf(doubts)})`;

const voidClause = (voids: readonly BatchFader[]): string =>
  `easure the ${count(voids.length, 'void fader')} again (${serialsOf(voids)})`;

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
  if (fails.length > 0) steps.push(failClause(fails, judged, law));
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
