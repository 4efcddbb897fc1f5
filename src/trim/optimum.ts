/** The two stages: the largest margin first, then the least film at a stated share of it. */
import { withMargin } from './bands.ts';
import { marginProgramme, removalProgramme, sumOf, type TrimProblem } from './programme.ts';
import type { LinearSolver } from './solver.ts';

/** How much of the largest margin the plan keeps; the rest is film not taken. */
export const defaultMarginShare = 0.6;

export interface TrimOptimum {
  /** Largest margin that can be reached, at most 1; below 0 = the bands are missed by that share of their half width. */
  readonly largestMargin: number;
  /** Margin the plan keeps. */
  readonly margin: number;
  readonly addedOhm: readonly number[];
}

/** @returns null when not even wider bands help: the total cannot be brought within its limits */
export function optimumOf(
  problem: TrimProblem,
  solver: LinearSolver,
  marginShare: number = defaultMarginShare,
): TrimOptimum | null {
  const first = solver.solve(marginProgramme(problem));
  if (first.status === 'infeasible') return null;
  const largestMargin = first.objective;
  const kept = largestMargin > 0 ? marginShare * largestMargin : largestMargin;
  // A hair less than asked: the optimum of the first stage lies on the very edge.
  for (const slack of [1e-7, 1e-5, 1e-3]) {
    const margin = kept - slack;
    const second = solver.solve(removalProgramme({ ...problem, limits: withMargin(problem.limits, margin) }));
    if (second.status === 'optimal') {
      const addedOhm = problem.cellOhm.map((ohm, i) => Math.max(0, (second.values[i] ?? 0) * Math.max(0, ohm)));
      return { largestMargin, margin, addedOhm };
    }
  }
  return null;
}

export function isWithin(problem: TrimProblem): boolean {
  const { limits, cellOhm } = problem;
  const totalOhm = sumOf(cellOhm);
  if (!(totalOhm >= limits.leastTotalOhm && totalOhm <= limits.mostTotalOhm)) return false;
  let below = 0;
  return limits.taps.every((tap, p) => {
    below += cellOhm[p] ?? 0;
    const ratio = below / totalOhm;
    return !tap.closed && ratio >= tap.lowRatio && ratio <= tap.highRatio;
  });
}
