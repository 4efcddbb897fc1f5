/** The two stages: the largest margin first, then the least film at a stated share of it. */
import { withMargin } from './bands.ts';
import { addedOhmOf, marginProgramme, removalProgramme, sumOf, type TrimProblem } from './programme.ts';
import type { LinearSolver } from './solver.ts';

export interface TrimOptimum {
  /** Largest margin that can be reached, at most 1; below 0 = the bands are missed by that share of their half width. */
  readonly largestMargin: number;
  /** Margin the plan keeps. */
  readonly margin: number;
  readonly addedOhm: readonly number[];
}

/** First stage; null when not even wider bands help: the total cannot be brought within its limits. */
export function largestMargin(problem: TrimProblem, solver: LinearSolver): number | null {
  const first = solver.solve(marginProgramme(problem));
  return first.status === 'infeasible' ? null : first.objective;
}

/** Second stage: the least film that keeps a share of the largest margin; null when the solver finds none. */
export function leastRemoval(
  problem: TrimProblem,
  solver: LinearSolver,
  largest: number,
  marginShare: number,
): TrimOptimum | null {
  const kept = largest > 0 ? marginShare * largest : largest;
  // A hair less than asked: the optimum of the first stage lies on the very edge.
  for (const slack of [1e-7, 1e-5, 1e-3]) {
    const margin = kept - slack;
    const second = solver.solve(removalProgramme({ ...problem, limits: withMargin(problem.limits, margin) }));
    if (second.status === 'optimal') {
      return { largestMargin: largest, margin, addedOhm: addedOhmOf(problem, second.values) };
    }
  }
  return null;
}

/** Both stages. */
export function optimumOf(problem: TrimProblem, solver: LinearSolver, marginShare = 0.6): TrimOptimum | null {
  const largest = largestMargin(problem, solver);
  return largest === null ? null : leastRemoval(problem, solver, largest, marginShare);
}

/** Every point and the total lie inside their limits already. */
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
