/**
 * Trimming as linear programmes. With q = 1 / (total after) and z_i = q (R_i + r_i), the ratio at a tap is the sum of
 * the z below it, so bands and margin are linear in z, q and margin (Charnes and Cooper 1962). For a fixed margin the
 * same rows are linear in the added resistances themselves.
 */
import type { TrimLimits } from './bands.ts';
import type { LinearProgramme, LinearRow } from './solver.ts';

export interface TrimProblem {
  /** Resistance of each cell now, ohm; one more than taps. */
  readonly cellOhm: readonly number[];
  /** What may still be added to each, ohm, >= 0. */
  readonly mostAddedOhm: readonly number[];
  readonly limits: TrimLimits;
  /** Film taken per relative growth of a cell, mm2: its length times the printed width, to first order. */
  readonly filmMm2: readonly number[];
}

const none = Number.POSITIVE_INFINITY;
/** Below this a cell has no resistance to grow, ohm. */
const leastCellOhm = 1e-6;

/** Growth allowed, as a fraction of the cell; a cell without resistance cannot grow. */
function mostGrowth(problem: TrimProblem): number[] {
  return problem.cellOhm.map((ohm, i) => (ohm > leastCellOhm ? Math.max(0, problem.mostAddedOhm[i] ?? 0) / ohm : 0));
}

export function sumOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0);
}

/** Sums of the first 1, 2, ... values. */
export function runningSums(values: readonly number[]): number[] {
  let sum = 0;
  return values.map((value) => {
    sum += value;
    return sum;
  });
}

/**
 * First stage: the largest margin. Columns: growth of each cell times q' (q' = present total / total after), then q',
 * then the margin (-limit..1; below 0 = by how much the bands would have to widen).
 */
export function marginProgramme(problem: TrimProblem): LinearProgramme {
  const { columns, base, rows } = scaledRows(problem);
  const { taps } = problem.limits;
  const margin = columns;
  taps.forEach((tap, p) => {
    const terms = base[p] ?? [];
    const low = tap.lowRatio / tap.aimRatio;
    const high = tap.highRatio / tap.aimRatio;
    if (tap.lowRatio > 0) rows.push({ lower: low, upper: none, terms: [...terms, [margin, low - 1]] });
    rows.push({ lower: -none, upper: high, terms: [...terms, [margin, high - 1]] });
  });
  return {
    sense: 'maximise',
    cost: [...Array<number>(columns).fill(0), 1],
    ...bounds(problem, [-none], [1]),
    rows,
  };
}

/**
 * By how much the bands are missed at least: columns as above without margin, then for each tap what it is too quiet
 * and too loud, relative to its aim. Minimises their sum, which leaves few taps missing (the sum, not the square).
 */
export function leastMissProgramme(problem: TrimProblem): LinearProgramme {
  const { columns, base, rows } = scaledRows(problem);
  const { taps } = problem.limits;
  taps.forEach((tap, p) => {
    const terms = base[p] ?? [];
    if (tap.lowRatio > 0)
      rows.push({ lower: tap.lowRatio / tap.aimRatio, upper: none, terms: [...terms, [columns + 2 * p, 1]] });
    rows.push({ lower: -none, upper: tap.highRatio / tap.aimRatio, terms: [...terms, [columns + 2 * p + 1, -1]] });
  });
  const misses = 2 * taps.length;
  return {
    sense: 'minimise',
    cost: [...Array<number>(columns).fill(0), ...Array<number>(misses).fill(1)],
    ...bounds(problem, Array<number>(misses).fill(0), Array<number>(misses).fill(none)),
    rows,
  };
}

function bounds(problem: TrimProblem, lower: readonly number[], upper: readonly number[]) {
  const cells = problem.cellOhm.length;
  const totalOhm = sumOf(problem.cellOhm);
  const { leastTotalOhm, mostTotalOhm } = problem.limits;
  return {
    lower: [...Array<number>(cells).fill(0), totalOhm / mostTotalOhm, ...lower],
    upper: [...Array<number>(cells).fill(none), totalOhm / leastTotalOhm, ...upper],
  };
}

/** Depth rows and the sum row; `base` = terms of (ratio at the tap) / (its aim). */
function scaledRows(problem: TrimProblem): {
  readonly columns: number;
  readonly base: readonly LinearRow['terms'][];
  readonly rows: LinearRow[];
} {
  const { cellOhm, limits } = problem;
  const cells = cellOhm.length;
  const totalOhm = sumOf(cellOhm);
  const below = runningSums(cellOhm);
  const growth = mostGrowth(problem);
  const weight = cellOhm.map((ohm) => Math.max(ohm, 0) / totalOhm);
  const rows: LinearRow[] = cellOhm.map((_, i) => ({
    lower: -none,
    upper: 0,
    terms: [
      [i, 1],
      [cells, -(growth[i] ?? 0)],
    ],
  }));
  rows.push({ lower: 1, upper: 1, terms: [...weight.map((w, i): [number, number] => [i, w]), [cells, 1]] });
  const base = limits.taps.map((tap, p): LinearRow['terms'] => [
    ...weight.slice(0, p + 1).map((w, i): [number, number] => [i, w / tap.aimRatio]),
    [cells, (below[p] ?? 0) / totalOhm / tap.aimRatio],
  ]);
  return { columns: cells + 1, base, rows };
}

/** Second stage: the least film for limits that are already moved inwards. Columns: growth of each cell, r_i / R_i. */
export function removalProgramme(problem: TrimProblem): LinearProgramme {
  const { cellOhm, limits, filmMm2 } = problem;
  const totalOhm = sumOf(cellOhm);
  const below = runningSums(cellOhm);
  const positive = cellOhm.map((ohm) => Math.max(ohm, 0));
  const tapRow = (p: number, ratio: number): LinearRow['terms'] =>
    // S_p + sum_{i <= p} r_i >= ratio (total + sum r_i), divided by ratio and total.
    positive.map((ohm, i): [number, number] => [i, (ohm / totalOhm) * ((i <= p ? 1 / ratio : 0) - 1)]);
  const rows: LinearRow[] = [];
  limits.taps.forEach((tap, p) => {
    const now = (below[p] ?? 0) / totalOhm;
    if (tap.lowRatio > 0) rows.push({ lower: 1 - now / tap.lowRatio, upper: none, terms: tapRow(p, tap.lowRatio) });
    rows.push({ lower: -none, upper: 1 - now / tap.highRatio, terms: tapRow(p, tap.highRatio) });
  });
  rows.push({
    lower: limits.leastTotalOhm / totalOhm - 1,
    upper: limits.mostTotalOhm / totalOhm - 1,
    terms: positive.map((ohm, i): [number, number] => [i, ohm / totalOhm]),
  });
  return {
    sense: 'minimise',
    cost: filmMm2,
    lower: cellOhm.map(() => 0),
    upper: mostGrowth(problem),
    rows,
  };
}
