/** From a measured track to the cuts of the next pass, or the reason why there are none. */
import type { Law } from '../law/build.ts';
import { asAsked, asSeen, roomOfCells, rulesAsCut } from './as-cut.ts';
import { trimLimits } from './bands.ts';
import { cutsOfPass, type PassCuts } from './cuts-of-pass.ts';
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
  /** Cells as measured before the first cut, ohm; without them what may still be cut is reckoned from the cuts made. */
  readonly uncutOhm?: readonly number[];
  /** Largest share of the plan a pass may take, 0..1; below it the risk decides. */
  readonly mostShare?: number;
}

/** Shares of the largest margin that are tried, from the least film to the most. */
const marginShares: readonly number[] = [0.5, 0.7, 0.85, 1];
/** Standard deviations the planned total is kept off its limits. */
const totalSds = 2.5;
/** Times a pass is made smaller until its risk fits. */
const mostTries = 5;
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
  const work: Work = {
    profile,
    law,
    rules: rulesAsCut(rules, belief),
    askedRules: rules,
    belief,
    made: asSeen(existingCuts, belief, profile, rules, options.uncutOhm ?? null),
    options,
  };
  const bare = {
    cellOhm: profile.cells.map((cell) => cell.ohm),
    mostAddedOhm: roomOfCells(profile, work.rules, work.made, options.uncutOhm ?? null),
    filmMm2: profile.cells.map((cell) => rules.widthMm * (cell.toMm - cell.fromMm)),
  };
  const guarded: TrimProblem = { ...bare, limits: trimLimits(law, profile, 1) };
  if (isWithin(guarded)) return { word: 'conforms' };
  const plan = bestPass(guarded, guarded, work);
  if (plan !== null) return { word: 'trimmable', plan };
  // Not to be shown inside with all of U against it. With part of U it may still come out right by measuring again.
  const guard = options.hopelessGuard ?? defaultHopelessGuard;
  const lenient: TrimProblem = { ...bare, limits: trimLimits(law, profile, guard) };
  const unlikely = bestPass(lenient, guarded, work);
  if (unlikely !== null) return { word: 'trimmable', plan: unlikely };
  return { word: 'hopeless', reasons: hopelessReasons(lenient, law, solver) };
}

/** What every step of the planning needs. Depths are those really cut. */
interface Work {
  readonly profile: TrackProfile;
  readonly law: Law;
  readonly rules: CuttingRules;
  readonly askedRules: CuttingRules;
  readonly belief: ToolBelief;
  readonly made: readonly Cut[];
  readonly options: PlanOptions;
}

/**
 * The pass that keeps the least margin that is likely to do; when none is, the likeliest. Null = the problem has no solution.
 *
 * @param risky the problem in which the risk is counted
 */
function bestPass(problem: TrimProblem, risky: TrimProblem, work: Work): TrimPlan | null {
  const { solver, marginShare } = work.options;
  const largest = largestMargin(problem, solver);
  if (largest === null || largest < 0) return null;
  const shares = marginShare === undefined ? marginShares : [marginShare];
  const drafted = (of: TrimProblem, most: number, share: number): Draft | null => {
    const optimum = leastRemoval(of, solver, most, share);
    return optimum === null ? null : draftOf(risky, optimum, work);
  };
  const rough = drafted(problem, largest, shares[0] ?? 1);
  const inner = rough === null ? problem : withTotalInside(problem, totalSds * rough.sdTotalOhm);
  const innerLargest = inner === problem ? null : largestMargin(inner, solver);
  const isInner = innerLargest !== null && innerLargest >= 0;
  let best: Draft | null = null;
  for (const share of shares) {
    const draft = isInner ? drafted(inner, innerLargest, share) : drafted(problem, largest, share);
    if (draft === null) continue;
    if (best === null || draft.chanceIn > best.chanceIn) best = draft;
    if (draft.chanceIn >= likely) break;
  }
  return best === null ? null : planned(risky, best, work);
}

/** A pass in ohms, before it is turned into cuts. */
interface Draft {
  readonly optimum: TrimOptimum;
  readonly share: number;
  readonly risk: number;
  readonly chanceIn: number;
  readonly sdTotalOhm: number;
}

function draftOf(problem: TrimProblem, optimum: TrimOptimum, { profile, law, belief, options }: Work): Draft {
  const { addedOhm } = optimum;
  const safe = safeShare(problem, profile, belief, addedOhm, options.riskLimit ?? defaultRiskLimit);
  const share = Math.min(safe.share, options.mostShare ?? 1);
  const expectedOhm = addedOhm.map((ohm) => ohm * share);
  const { chanceIn, sdTotalOhm } = predict(profile, law, belief, expectedOhm);
  return { optimum, share, risk: safe.risk, chanceIn, sdTotalOhm };
}

/** The total kept off its limits by what it may scatter; unchanged when that leaves nothing. */
function withTotalInside(problem: TrimProblem, guardOhm: number): TrimProblem {
  const leastTotalOhm = problem.limits.leastTotalOhm + guardOhm;
  const mostTotalOhm = problem.limits.mostTotalOhm - guardOhm;
  return leastTotalOhm < mostTotalOhm
    ? { ...problem, limits: { ...problem.limits, leastTotalOhm, mostTotalOhm } }
    : problem;
}

function planned(problem: TrimProblem, draft: Draft, work: Work): TrimPlan {
  const { profile, law, rules, askedRules, belief, made, options } = work;
  const { addedOhm, margin } = draft.optimum;
  const riskLimit = options.riskLimit ?? defaultRiskLimit;
  let { share, risk } = draft;
  let pass: PassCuts = noCuts(profile);
  // Whole steps and reach into neighbours may carry a little more risk than the share alone: then a little less.
  for (let tries = 0; share > 0; tries += 1) {
    const wanted = addedOhm.map((ohm) => ohm * share);
    pass = cutsOfPass(wanted, profile, rules, made);
    risk = overCutRisk(problem, profile, belief, pass.predictedOhm);
    if (risk <= riskLimit) break;
    share = tries === mostTries ? 0 : share * 0.9;
  }
  if (share === 0) pass = noCuts(profile);
  const { points, totalAfterOhm, chanceIn } = predict(profile, law, belief, pass.predictedOhm);
  return {
    cuts: asAsked(pass.cuts, belief, askedRules),
    addedOhm,
    share,
    points,
    totalAfterOhm,
    margin: Math.max(0, Math.min(1, margin)),
    removalMm2: pass.removalMm2,
    passesExpected: passesExpected(chanceIn),
    overCutRisk: risk,
  };
}

function noCuts(profile: TrackProfile): PassCuts {
  return { cuts: [], predictedOhm: profile.cells.map(() => 0), removalMm2: 0 };
}

/** 1 + the chance that one is not enough, and so on, each pass being as likely to do as this one; at most 9. */
function passesExpected(chanceIn: number): number {
  return Math.min(9, chanceIn > 0 ? 1 / chanceIn : Number.POSITIVE_INFINITY);
}
