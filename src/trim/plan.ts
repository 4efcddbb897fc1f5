/** From a measured track to the cuts of the next pass, or the reason why there are none. */
import type { Law } from '../law/build.ts';
import { trimLimits } from './bands.ts';
import { cutsOfPass } from './cuts-of-pass.ts';
import { mostAddedOhm } from './effect.ts';
import { defaultMarginShare, isWithin, optimumOf, type TrimOptimum } from './optimum.ts';
import { predict } from './predict.ts';
import type { TrimProblem } from './programme.ts';
import { defaultRiskLimit, overCutRisk, safeShare } from './share.ts';
import type { LinearSolver } from './solver.ts';
import { hopelessReasons } from './sort.ts';
import type { Cut, CuttingRules, ToolBelief, TrackProfile, TrimPlan, TrimSort } from './trim.ts';

export interface PlanOptions {
  readonly solver: LinearSolver;
  /** Share of the largest margin the plan keeps, 0..1. */
  readonly marginShare?: number;
  /** Most chance of losing the piece a pass may carry. */
  readonly riskLimit?: number;
  /** Part of U by which a band must be missed before the piece is called hopeless; 0 = the bare band. */
  readonly hopelessGuard?: number;
  /** Largest share of the plan a pass may take, 0..1; below it the risk decides. */
  readonly mostShare?: number;
}

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
  const optimum = optimumOf(guarded, solver, options.marginShare ?? defaultMarginShare);
  if (optimum === null || optimum.largestMargin < 0) {
    const guard = options.hopelessGuard ?? defaultHopelessGuard;
    const sure: TrimProblem = { ...bare, limits: trimLimits(law, profile, guard) };
    const best = optimumOf(sure, solver, 1);
    if (best === null || best.largestMargin < 0)
      return { word: 'hopeless', reasons: hopelessReasons(sure, law, solver) };
    return { word: 'trimmable', plan: passOf(guarded, best, profile, law, rules, belief, existingCuts, options) };
  }
  return { word: 'trimmable', plan: passOf(guarded, optimum, profile, law, rules, belief, existingCuts, options) };
}

function passOf(
  problem: TrimProblem,
  optimum: TrimOptimum,
  profile: TrackProfile,
  law: Law,
  rules: CuttingRules,
  belief: ToolBelief,
  existingCuts: readonly Cut[],
  options: PlanOptions,
): TrimPlan {
  const { addedOhm } = optimum;
  const found = safeShare(problem, profile, belief, addedOhm, options.riskLimit ?? defaultRiskLimit);
  const share = Math.min(found.share, options.mostShare ?? 1);
  // The tool is asked for what it must be told so that it does, on average, what is wanted.
  const wanted = addedOhm.map((ohm) => (ohm * share) / Math.max(0.2, belief.mean));
  const pass = cutsOfPass(wanted, profile, rules, existingCuts);
  const expectedOhm = pass.predictedOhm.map((ohm) => ohm * belief.mean);
  const { points, totalAfterOhm, chanceIn } = predict(profile, law, belief, expectedOhm);
  return {
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
}

/** 1 + the chance that one is not enough, and so on, each pass being as likely to do as this one; at most 9. */
function passesExpected(chanceIn: number): number {
  return Math.min(9, chanceIn > 0 ? 1 / chanceIn : Number.POSITIVE_INFINITY);
}
