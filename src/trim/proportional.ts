/**
 * The closed-form plan: every ratio exactly on the law. With target shares t_i (sum 1) the smallest common scale is
 * s = max(R_i / t_i), and each cell gets r_i = s t_i - R_i; the cell with the maximum is left alone. Common practice, no
 * source. It spends no thought on how wide the bands are, so it takes more film than is needed; kept to compare with.
 */
import type { Law } from '../law/build.ts';
import { sumOf } from './programme.ts';

export interface ProportionalPlan {
  /** Total after, ohm. */
  readonly scaleOhm: number;
  readonly addedOhm: readonly number[];
}

/** @param leastTotalOhm the total is raised to at least this, in proportion */
export function proportionalPlan(
  cellOhm: readonly number[],
  targetShares: readonly number[],
  leastTotalOhm = 0,
): ProportionalPlan {
  if (cellOhm.length !== targetShares.length)
    throw new RangeError(`${cellOhm.length} cells cannot be matched with ${targetShares.length} shares.`);
  const scaleOhm = cellOhm.reduce((most, ohm, i) => Math.max(most, ohm / (targetShares[i] ?? 0)), leastTotalOhm);
  return {
    scaleOhm,
    addedOhm: cellOhm.map((ohm, i) => Math.max(0, scaleOhm * (targetShares[i] ?? 0) - ohm)),
  };
}

/** Target shares of the cells from the ratios at the taps; they sum to 1. */
export function targetSharesOf(ratios: readonly number[]): readonly number[] {
  return [...ratios, 1].map((ratio, i) => ratio - (i === 0 ? 0 : (ratios[i - 1] ?? 0)));
}

/** Why the plan cannot be carried out: the total would be too high, or a cell would have to grow too much. */
export function proportionalRefusal(
  plan: ProportionalPlan,
  cellOhm: readonly number[],
  mostAddedOhm: readonly number[],
  law: Law,
): 'totalTooHigh' | 'cutTooDeep' | null {
  const { nominalOhm, toleranceFraction } = law.resistance;
  if (sumOf(cellOhm) + sumOf(plan.addedOhm) > nominalOhm * (1 + toleranceFraction)) return 'totalTooHigh';
  return plan.addedOhm.some((ohm, i) => ohm > (mostAddedOhm[i] ?? 0)) ? 'cutTooDeep' : null;
}
