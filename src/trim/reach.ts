/**
 * Whether a track can be brought in at all, without a solver. The running resistance C_p up to each tap obeys
 * low_p T <= C_p <= high_p T and R <= C_p - C_j <= R + most over every stretch of cells from j to p. These are
 * difference constraints on a chain, which hold together exactly when every pair of taps does, so the totals T that
 * can be reached form one interval that follows from all pairs.
 */
import type { TrimProblem } from './programme.ts';

/** A stretch of cells, from behind tap `from` up to tap `to`; -1 = closed end, taps.length = open end. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

export interface Reach {
  /** 1 / total must be at least this: from the highest total allowed, or because a stretch cannot be raised more. */
  readonly leastPerOhm: number;
  /** Stretch that sets it; null = the law's highest total. */
  readonly leastBy: Stretch | null;
  /** 1 / total may be at most this: from the lowest total allowed, or because a stretch is too resistive already. */
  readonly mostPerOhm: number;
  readonly mostBy: Stretch | null;
  readonly reachable: boolean;
}

export function reachOf(problem: TrimProblem): Reach {
  const { cellOhm, mostAddedOhm, limits } = problem;
  const taps = limits.taps.length;
  let leastPerOhm = 1 / limits.mostTotalOhm;
  let mostPerOhm = 1 / limits.leastTotalOhm;
  let leastBy: Stretch | null = null;
  let mostBy: Stretch | null = null;
  let crossed = !(leastPerOhm <= mostPerOhm);
  for (let from = -1; from < taps; from += 1) {
    const lowFrom = from < 0 ? 0 : (limits.taps[from]?.lowRatio ?? 0);
    const highFrom = from < 0 ? 0 : (limits.taps[from]?.highRatio ?? 0);
    let now = 0;
    let most = 0;
    for (let to = from + 1; to <= taps; to += 1) {
      now += cellOhm[to] ?? 0;
      most += (cellOhm[to] ?? 0) + Math.max(0, mostAddedOhm[to] ?? 0);
      const highTo = to === taps ? 1 : (limits.taps[to]?.highRatio ?? 1);
      const lowTo = to === taps ? 1 : (limits.taps[to]?.lowRatio ?? 0);
      if (now > 0 && (highTo - lowFrom) / now < mostPerOhm) {
        mostPerOhm = (highTo - lowFrom) / now;
        mostBy = { from, to };
      }
      const needed = lowTo - highFrom;
      if (needed <= 0) continue;
      const least = most > 0 ? needed / most : Number.POSITIVE_INFINITY;
      if (least > leastPerOhm) {
        leastPerOhm = least;
        leastBy = { from, to };
      }
    }
  }
  crossed ||= limits.taps.some((tap) => tap.closed || tap.lowRatio > tap.highRatio);
  return { leastPerOhm, leastBy, mostPerOhm, mostBy, reachable: !crossed && leastPerOhm <= mostPerOhm };
}
