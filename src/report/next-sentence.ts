/** What to do with a batch now, in one sentence. */
import type { RunRecord } from '../archive/records.ts';
import type { LawData } from '../law/law.ts';
import { type BatchFader, gatherFaders } from './batch-faders.ts';
import { type CommonCheck, commonCheck, commonPoint } from './common-cause.ts';
import { count, fixed, limits, listing, ohm, ohmLimits, signed } from './format.ts';
import { pointWords } from './point-words.ts';

/** From this share of void faders on, the station is suspected before the faders. */
const stationShare = 0.2;

const serialsOf = (faders: readonly BatchFader[]): string => listing(faders.map(({ serial }) => serial));

const commonest = (texts: readonly string[]): string | null => {
  const counts = new Map<string, number>();
  for (const text of texts) counts.set(text, (counts.get(text) ?? 0) + 1);
  let best: string | null = null;
  for (const [text, n] of counts) if (best === null || n > (counts.get(best) ?? 0)) best = text;
  return best;
};

const reasonOf = (run: RunRecord): string =>
  (run.verdictReason.trim() || run.outcomeReason?.trim() || 'no reason recorded').replace(/[.\s]+$/, '');

const checkSubjects: Readonly<Record<CommonCheck['name'], string>> = {
  closedLoss: 'the loss on the closed stop',
  openLoss: 'the loss on the open stop',
  totalResistance: 'the track resistance',
  play: 'the play',
};

const checkMessage = ({ name, unit, failedMean, failed, lower, upper }: CommonCheck): string => {
  const [text, allowed] =
    unit === 'ohm'
      ? [`${ohm(failedMean)} Ω`, `${ohmLimits(lower, upper)} Ω`]
      : [`${fixed(failedMean, 2)} ${unit}`, `${limits(lower, upper, 2)} ${unit}`];
  return `${checkSubjects[name]} is ${text} on average in the ${failed} faders that fail there (allowed ${allowed})`;
};

const failClauses = (fails: readonly BatchFader[], judged: readonly BatchFader[], law: LawData): string[] => {
  const failed = fails.length === 1 ? 'the fader that failed' : `the ${fails.length} faders that failed`;
  const point = commonPoint(fails, judged, law);
  const check = commonCheck(fails);
  if (point !== null && (check === null || point.failed >= check.failed)) {
    const limit = point.limitDb === null ? '' : `limit ${signed(point.limitDb, 2)} dB, `;
    return [
      `Tell the track shop that ${pointWords(law, point.travelMm)} is ${fixed(Math.abs(point.failedMeanDb), 2)} dB ${point.sense} ` +
        `on average in the ${point.failed} faders that fail there (${limit}mean of all ${point.measured} judged ` +
        `${signed(point.batchMeanDb, 2)} dB)`,
      `set aside ${failed}`,
    ];
  }
  if (check !== null) return [`Tell the track shop that ${checkMessage(check)}`, `set aside ${failed}`];
  return [`Set aside ${failed} (${serialsOf(fails)})`];
};

const again = (faders: readonly BatchFader[], what: string): string =>
  faders.length === 1 ? `the ${what.replace('faders', 'fader')}` : `the ${faders.length} ${what}`;

const doubtClause = (doubts: readonly BatchFader[]): string =>
  `eep ${again(doubts, 'faders in doubt')} apart as not proved (${serialsOf(doubts)})`;

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
  if (doubts.length > 0) steps.push(`${steps.length === 0 ? 'K' : 'k'}${doubtClause(doubts)}`);
  if (voids.length > 0) steps.push(`${steps.length === 0 ? 'M' : 'm'}${voidClause(voids)}`);
  if (steps.length > 0) return `${listing(steps, steps.length).replace(/ and m(?=easure)/, ' and then m')}.`;
  if (passes.every(({ run }) => run.rig?.isVirtual === true)) {
    return `Nothing is left to mend, since ${passes.length === 1 ? 'the one virtual fader passes' : `all ${passes.length} virtual faders pass`}: connect a real rig and measure real ones.`;
  }
  return passes.length === 1
    ? 'Deliver the fader: it passes.'
    : `Deliver all ${passes.length} faders: every one passes.`;
}
