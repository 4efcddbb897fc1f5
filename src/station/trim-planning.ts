/** What follows from a measurement of a piece: what its last cuts taught, its sort, the next plan or its end. */
import type { RunRecord } from '../archive/records.ts';
import type { ToolBeliefRecord } from '../archive/trim-records.ts';
import type { Law } from '../law/build.ts';
import { cutOutcomes } from '../trim/as-cut.ts';
import { afterSheetChange, type CutOutcome, priorBelief, type ToolKind, updateBelief } from '../trim/belief.ts';
import { profileOfRun } from '../trim/cells.ts';
import { addedOhmPerCell } from '../trim/effect.ts';
import { planTrim } from '../trim/plan.ts';
import type { LinearSolver } from '../trim/solver.ts';
import type { Cut, CuttingRules, ToolBelief, TrackProfile, TrimPlan } from '../trim/trim.ts';
import {
  type EndContent,
  leftOf,
  type MeasuredContent,
  type PieceHistory,
  type PlannedContent,
} from './trim-history.ts';
import { endSentences } from './trim-sentences.ts';
import type { TrimSettings } from './trim-settings.ts';
import type { PassGain } from './trim-views.ts';

/** What is believed of a tool now, on film of this sheet. */
export function beliefNow(stored: ToolBeliefRecord | null, kind: ToolKind, sheet: string): ToolBelief {
  if (stored === null || stored.toolKind !== kind) return priorBelief(kind);
  const { mean, sd, cutSd, cuts } = stored;
  const belief = { mean, sd, cutSd, cuts };
  return stored.sheet === sheet ? belief : afterSheetChange(belief, kind);
}

export interface Remeasurement {
  /** Numbers of unacknowledged cuts that the measurement shows. */
  readonly cutsFound: readonly number[];
  readonly gain: PassGain | null;
}

/** At least this share of what a cut should add must be seen for it to count as made. */
const seenShare = 0.5;

/** What the cuts of the newest pass did. Only acknowledged cuts made without the needle teach the tool's gain. */
export function compareWithPlan(history: PieceHistory, after: TrackProfile, before: ToolBelief): Remeasurement {
  const pending = history.passes.at(-1);
  const { profile, rules } = history.measured;
  // Also of a piece that was given up with cuts nobody measured.
  if (pending === undefined || pending.runAfter !== null || profile === null) return { cutsFound: [], gain: null };
  const earlier = history.cuts.filter(({ number }) => !pending.cutsDone.includes(number));
  const effectOf = (cuts: readonly Cut[]): number[] => {
    const sum = profile.cells.map(() => 0);
    for (const cut of cuts) {
      addedOhmPerCell(cut, profile, rules, earlier).forEach((ohm, index) => {
        sum[index] = (sum[index] ?? 0) + ohm;
      });
    }
    return sum;
  };
  const gained = (index: number): number => (after.cells[index]?.ohm ?? Number.NaN) - (profile.cells[index]?.ohm ?? 0);
  const left = leftOf(pending);
  const wouldAdd = effectOf(left);
  const cutsFound = left
    .filter(({ cellIndex }) => gained(cellIndex) > seenShare * (wouldAdd[cellIndex] ?? 0))
    .map(({ number }) => number);
  const done = pending.plan.cuts.filter(({ number }) => pending.cutsDone.includes(number));
  const untaught = new Set([
    ...left.map(({ cellIndex }) => cellIndex),
    ...done.filter(({ number }) => history.byNeedle.includes(number)).map(({ cellIndex }) => cellIndex),
  ]);
  const taught = new Set(done.map(({ cellIndex }) => cellIndex).filter((index) => !untaught.has(index)));
  const uncutOhm = history.firstMeasured.profile?.cells.map(({ ohm }) => ohm) ?? null;
  const outcomes = cutOutcomes(profile, after, done, earlier, rules, before, uncutOhm).filter((_, index) =>
    taught.has(index),
  );
  if (outcomes.length === 0) return { cutsFound, gain: null };
  return {
    cutsFound,
    gain: { achieved: gainSeen(outcomes, before), before, after: updateBelief(before, outcomes) },
  };
}

/** Weighted least squares of achieved against predicted, weights as the belief's own; null without information. */
function gainSeen(outcomes: readonly CutOutcome[], { cutSd }: ToolBelief): number | null {
  let cross = 0;
  let square = 0;
  for (const { predictedOhm, achievedOhm, uOhm } of outcomes) {
    const variance = uOhm ** 2 + (cutSd * predictedOhm) ** 2;
    if (!(predictedOhm > 0) || !(variance > 0) || !Number.isFinite(achievedOhm)) continue;
    cross += (predictedOhm * achievedOhm) / variance;
    square += predictedOhm ** 2 / variance;
  }
  return square > 0 ? cross / square : null;
}

export type Consequence =
  | { readonly state: 'planned'; readonly content: PlannedContent }
  | { readonly state: 'accepted' | 'ended' | 'hopeless'; readonly content: EndContent };

export interface Measurement {
  readonly run: RunRecord;
  readonly law: Law;
  readonly rules: CuttingRules;
  /** All cuts the piece has. */
  readonly cuts: readonly Cut[];
  /** Its cells before the first cut, ohm; null = this measurement is the first. */
  readonly uncutOhm: readonly number[] | null;
  /** Passes asked for so far. */
  readonly pass: number;
  readonly belief: ToolBelief;
  readonly settings: Pick<TrimSettings, 'passLimit' | 'riskLimit'>;
}

export const profileOf = (run: RunRecord, law: Law, rules: CuttingRules): TrackProfile | null =>
  profileOfRun(run, law, rules).profile;

/** @param measurement of a completed run that is not void */
export function decide(measurement: Measurement, solver: LinearSolver): Consequence {
  const { run, law, rules, cuts, uncutOhm, pass, belief, settings } = measurement;
  const end = (cause: EndContent['cause'], sentence: string): Consequence => ({
    state: 'ended',
    content: { sort: cause === 'verdict' ? 'conforms' : 'trimmable', cause, sentence, reasons: [] },
  });
  // What passes is never cut, however little of its band is left.
  if (run.verdict === 'pass') {
    return { state: 'accepted', content: { sort: 'conforms', cause: null, sentence: '', reasons: [] } };
  }
  const { profile, reasons } = profileOfRun(run, law, rules);
  if (profile === null) return hopeless(reasons);
  const sort = planTrim(profile, law, rules, belief, cuts, {
    solver,
    riskLimit: settings.riskLimit,
    ...(uncutOhm === null ? {} : { uncutOhm }),
  });
  if (sort.word === 'hopeless') return hopeless(sort.reasons);
  if (sort.word === 'conforms') return end('verdict', endSentences.verdict(run.verdictReason));
  const { plan } = sort;
  if (pass >= settings.passLimit) return end('passLimit', endSentences.passLimit(settings.passLimit));
  if (plan.share === 0 || plan.overCutRisk > settings.riskLimit) {
    return end('risk', endSentences.risk(plan.overCutRisk, settings.riskLimit));
  }
  if (plan.cuts.length === 0) return end('tooSmall', endSentences.tooSmall);
  return { state: 'planned', content: { plan: withoutGaps(plan), belief } };
}

function hopeless(reasons: EndContent['reasons']): Consequence {
  const sentence = reasons[0]?.sentence ?? 'The law cannot be reached by taking film away.';
  return { state: 'hopeless', content: { sort: 'hopeless', cause: null, sentence, reasons } };
}

/** A point of which nothing can be expected (a ratio of zero) is left out: the archive keeps finite numbers only. */
function withoutGaps(plan: TrimPlan): TrimPlan {
  const isKnown = (value: number): boolean => Number.isFinite(value);
  return {
    ...plan,
    points: plan.points.filter(
      ({ deviationBeforeDb, deviationAfterDb, sdAfterDb }) =>
        isKnown(deviationBeforeDb) && isKnown(deviationAfterDb) && isKnown(sdAfterDb),
    ),
  };
}

/** A side without a limit is never missed. */
function worstShareOf({ points }: RunRecord): number | null {
  const shares = points.flatMap(({ deviationDb, lowerDb, upperDb }) => {
    if (deviationDb === null) return [];
    const limitDb = deviationDb < 0 ? lowerDb : upperDb;
    return limitDb === null || limitDb === 0 ? [0] : [deviationDb / limitDb];
  });
  return shares.length === 0 ? null : Math.max(...shares);
}

export function measuredContent(
  run: RunRecord,
  profile: TrackProfile | null,
  rules: CuttingRules,
  { cutsFound, gain }: Remeasurement,
  isFresh: boolean,
): MeasuredContent {
  const { verdict, verdictReason, worstDeviationDb, startedAt } = run;
  return {
    verdict,
    verdictReason,
    worstDeviationDb,
    worstShare: worstShareOf(run),
    startedAt,
    profile,
    rules,
    cutsFound,
    gain,
    isFresh,
  };
}
