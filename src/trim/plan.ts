/** From a measured track to the cuts of the next pass, or the reason why there are none. */
import type { Law } from '../law/build.ts';
import { trimLimits } from './bands.ts';
import { cutsOfPass } from './cuts-of-pass.ts';
import { mostAddedOhm } from './effect.ts';
import { isWithin, largestMargin, leastRemoval, type TrimOptimum } from './optimum.ts';
import { predict } from './predict.ts';
import type { TrimProblem } from './programme.ts';
import { defaultRiskLimit, overCutRisk, safeShare } from './share.ts';
import type { LinearSolver } from './solver.ts';
import { hopelessReasons } from './sort.ts';
import type { Cut, CuttingRules, ToolBelief, TrackProfile, TrimPlan, TrimSort } from './trim.ts';

export interface PlanOptions {
  readonly solver: LinearSolver;
  /** Share of the largest margin the plan keeps, 0..1; absent = the least of a few that is likely to do in one pass. */
  readonly marginShare?: number;
  /** Most chance of losing the piece a pass may carry. */
  readonly riskLimit?: number;
  /** Part of U by which a band must be missed before the piece is called hopeless; 0 = the bare band. */
  readonly hopelessGuard?: number;
  /** Largest share of the plan a pass may take, 0..1; below it the risk decides. */
  readonly mostShare?: number;
}

/** Shares of the largest margin that are tried, from the least film to the most. */
const marginShares: readonly number[] = [0.5, 0.7, 0.85, 1];
/** Standard deviations the planned total is kept off its limits. */
const totalSds = 2.5;
/** A pass with this chance of bringing the piece in is worth no more film. */
const likely = 0.95;

/** Part of U that must be missed before the word hopeless is said: half way between "cannot be shown" and "cannot be". */
export const defaultHopelessGuard = 0.5;

/**
 * Sorts a measured piece and plans its next pass. Inside the bands shrunk by U it conforms and nothing is cut: what lies
 * inside is not chased further. A plan with `share` 0 and no cuts is refused: any pass worth making would carry more
 * than the risk limit, told in `overCutRisk`.
 *
 * @param profile cells as they are now, after the existing cuts
 * @param existingCuts all cuts the piece has, in order
 */
export function planTrim(
  profile: TrackProfile,
  law: Law,
  rules: CuttingRules,
  belief: ToolBelief,
  existingCuts: readonly Cut[],
  options: PlanOptions,
): TrimSort {
  const { solver } = options;
  const bare = {
    cellOhm: profile.cells.map((cell) => cell.ohm),
    mostAddedOhm: profile.cells.map((cell) => mostAddedOhm(cell.index, profile, rules, existingCuts)),
    filmMm2: profile.cells.map((cell) => rules.widthMm * (cell.toMm - cell.fromMm)),
  };
  const guarded: TrimProblem = { ...bare, limits: trimLimits(law, profile, 1) };
  if (isWithin(guarded)) return { word: 'conforms' };
  const plan = (problem: TrimProblem, largestMargin: number): TrimPlan | null =>
    passOf(problem, largestMargin, profile, law, rules, belief, existingCuts, options);
  const margin = largestMargin(guarded, solver);
  const likely = margin !== null && margin >= 0 ? plan(guarded, margin) : null;
  if (likely !== null) return { word: 'trimmable', plan: likely };
  // Not to be shown inside with all of U against it. With part of U it may still come out right by measuring again.
  const lenient: TrimProblem = {
    ...bare,
    limits: trimLimits(law, profile, options.hopelessGuard ?? defaultHopelessGuard),
  };
  const lenientMargin = largestMargin(lenient, solver);
  const unlikely = lenientMargin !== null && lenientMargin >= 0 ? plan(lenient, lenientMargin) : null;
  if (unlikely !== null) return { word: 'trimmable', plan: unlikely };
  return { word: 'hopeless', reasons: hopelessReasons(lenient, law, solver) };
}

/** The plan that keeps the least margin that is likely to do in one pass; when none is, the likeliest. */
function passOf(
  problem: TrimProblem,
  largest: number,
  profile: TrackProfile,
  law: Law,
  rules: CuttingRules,
  belief: ToolBelief,
  existingCuts: readonly Cut[],
  options: PlanOptions,
): TrimPlan | null {
  let best: Planned | null = null;
  const shares = options.marginShare === undefined ? marginShares : [options.marginShare];
  const work = (of: TrimProblem, largest: number, share: number): Planned | null => {
    const optimum = leastRemoval(of, options.solver, largest, share);
    return optimum === null ? null : planned(problem, optimum, profile, law, rules, belief, existingCuts, options);
  };
  const rough = work(problem, largest, shares[0] ?? 1);
  const inner = rough === null ? problem : withTotalInside(problem, totalSds * rough.sdTotalOhm);
  const innerLargest = inner === problem ? null : largestMargin(inner, options.solver);
  const isInner = innerLargest !== null && innerLargest >= 0;
  for (const share of shares) {
    const found = isInner ? work(inner, innerLargest, share) : work(problem, largest, share);
    if (found === null) continue;
    if (best === null || found.chanceIn > best.chanceIn) best = found;
    if (found.chanceIn >= likely) break;
  }
  return best?.plan ?? null;
}

/** The total kept off its limits by what it may scatter; unchanged when that leaves nothing. */
function withTotalInside(problem: TrimProblem, guardOhm: number): TrimProblem {
  const leastTotalOhm = problem.limits.leastTotalOhm + guardOhm;
  const mostTotalOhm = problem.limits.mostTotalOhm - guardOhm;
  return leastTotalOhm < mostTotalOhm
    ? { ...problem, limits: { ...problem.limits, leastTotalOhm, mostTotalOhm } }
    : problem;
}

interface Planned {
  readonly plan: TrimPlan;
  readonly chanceIn: number;
  readonly sdTotalOhm: number;
}

function planned(
  problem: TrimProblem,
  optimum: TrimOptimum,
  profile: TrackProfile,
  law: Law,
  rules: CuttingRules,
  belief: ToolBelief,
  existingCuts: readonly Cut[],
  options: PlanOptions,
): Planned {
  const { addedOhm } = optimum;
  const found = safeShare(problem, profile, belief, addedOhm, options.riskLimit ?? defaultRiskLimit);
  const share = Math.min(found.share, options.mostShare ?? 1);
  // The tool is asked for what it must be told so that it does, on average, what is wanted.
  const wanted = addedOhm.map((ohm) => (ohm * share) / Math.max(0.2, belief.mean));
  const pass = cutsOfPass(wanted, profile, rules, existingCuts);
  const expectedOhm = pass.predictedOhm.map((ohm) => ohm * belief.mean);
  const { points, totalAfterOhm, sdTotalOhm, chanceIn } = predict(profile, law, belief, expectedOhm);
  const plan: TrimPlan = {
    cuts: pass.cuts,
    addedOhm,
    share,
    points,
    totalAfterOhm,
    margin: Math.max(0, Math.min(1, optimum.margin)),
    removalMm2: pass.removalMm2,
    passesExpected: passesExpected(chanceIn),
    overCutRisk: share === 0 ? found.risk : overCutRisk(problem, profile, belief, expectedOhm),
  };
  return { plan, chanceIn, sdTotalOhm };
}

/** 1 + the chance that one is not enough, and so on, each pass being as likely to do as this one; at most 9. */
function passesExpected(chanceIn: number): number {
  return Math.min(9, chanceIn > 0 ? 1 / chanceIn : Number.POSITIVE_INFINITY);
}
