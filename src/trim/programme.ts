/**
 * Trimming as linear programmes. With q = 1 / (total after) and z_i = q (R_i + r_i), the ratio at a tap is the sum of
 * the z below it, so bands and margin are linear in ratios, q and margin (Charnes and Cooper 1962). For a fixed margin the
 * same rows are linear in the resistances themselves. Columns are running sums, so that every row has two or three terms.
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
 * First stage: the largest margin. Columns: ratio at each tap over its aim, then q' (present total / total after), then the
 * margin (..1; below 0 = by how much of their half width the bands would have to widen).
 */
export function marginProgramme(problem: TrimProblem): LinearProgramme {
  const { taps } = problem.limits;
  const margin = taps.length + 1;
  const rows = growthRows(problem);
  taps.forEach((tap, p) => {
    const low = tap.lowRatio / tap.aimRatio;
    const high = tap.highRatio / tap.aimRatio;
    if (tap.lowRatio > 0)
      rows.push({
        lower: low,
        upper: none,
        terms: [
          [p, 1],
          [margin, low - 1],
        ],
      });
    rows.push({
      lower: -none,
      upper: high,
      terms: [
        [p, 1],
        [margin, high - 1],
      ],
    });
  });
  return {
    sense: 'maximise',
    cost: [...Array<number>(margin).fill(0), 1],
    ...bounds(problem, [-none], [1]),
    rows,
  };
}

/**
 * By how much the bands are missed at least: columns as above without margin, then for each tap what it is too quiet
 * and too loud, relative to its aim. Minimises their sum, which leaves few taps missing (the sum, not the square).
 */
export function leastMissProgramme(problem: TrimProblem): LinearProgramme {
  const { taps } = problem.limits;
  const first = firstMiss(problem);
  const rows = growthRows(problem);
  taps.forEach((tap, p) => {
    const quiet = first + 2 * p;
    const low = tap.lowRatio / tap.aimRatio;
    const high = tap.highRatio / tap.aimRatio;
    if (tap.lowRatio > 0)
      rows.push({
        lower: low,
        upper: none,
        terms: [
          [p, 1],
          [quiet, 1],
        ],
      });
    rows.push({
      lower: -none,
      upper: high,
      terms: [
        [p, 1],
        [quiet + 1, -1],
      ],
    });
  });
  const misses = 2 * taps.length;
  return {
    sense: 'minimise',
    cost: [...Array<number>(first).fill(0), ...Array<number>(misses).fill(1)],
    ...bounds(problem, Array<number>(misses).fill(0), Array<number>(misses).fill(none)),
    rows,
  };
}

/** Column of the first tap's miss in `leastMissProgramme`. */
export function firstMiss(problem: TrimProblem): number {
  return problem.limits.taps.length + 1;
}

function bounds(problem: TrimProblem, lower: readonly number[], upper: readonly number[]) {
  const taps = problem.limits.taps.length;
  const totalOhm = sumOf(problem.cellOhm);
  const { leastTotalOhm, mostTotalOhm } = problem.limits;
  return {
    lower: [...Array<number>(taps).fill(0), totalOhm / mostTotalOhm, ...lower],
    upper: [...Array<number>(taps).fill(none), totalOhm / leastTotalOhm, ...upper],
  };
}

/** Every cell between what it has and what it may get, each row scaled by the cell. */
function growthRows(problem: TrimProblem): LinearRow[] {
  const { cellOhm, mostAddedOhm, limits } = problem;
  const totalOhm = sumOf(cellOhm);
  const q = limits.taps.length;
  return cellOhm.flatMap((ohm, i): LinearRow[] => {
    const scale = Math.max(ohm, leastCellOhm) / totalOhm;
    const terms: (readonly [number, number])[] = [];
    const below = limits.taps[i - 1];
    const above = limits.taps[i];
    if (above !== undefined) terms.push([i, above.aimRatio / scale]);
    if (below !== undefined) terms.push([i - 1, -below.aimRatio / scale]);
    // The open end has the ratio 1, which is no column.
    const known = above === undefined ? -1 / scale : 0;
    const has = ohm / totalOhm / scale;
    const may = (ohm + roomOf(problem, i)) / totalOhm / scale;
    return mostAddedOhm[i] === 0
      ? [{ lower: known, upper: known, terms: [...terms, [q, -has]] }]
      : [
          { lower: known, upper: none, terms: [...terms, [q, -has]] },
          { lower: -none, upper: known, terms: [...terms, [q, -may]] },
        ];
  });
}

/** A cell without resistance has no film to cut. */
function roomOf({ cellOhm, mostAddedOhm }: TrimProblem, i: number): number {
  return (cellOhm[i] ?? 0) > leastCellOhm ? Math.max(0, mostAddedOhm[i] ?? 0) : 0;
}

/**
 * Second stage: the least film for limits that are already moved inwards. Columns: resistance below each tap over its aim
 * and the present total, then the total over the present total. Film is counted apart from a constant.
 */
export function removalProgramme(problem: TrimProblem): LinearProgramme {
  const { cellOhm, limits, filmMm2 } = problem;
  const { taps } = limits;
  const total = taps.length;
  const totalOhm = sumOf(cellOhm);
  const unit = (node: number): number => (taps[node]?.aimRatio ?? 1) * totalOhm;
  const perOhm = (i: number): number => (roomOf(problem, i) > 0 ? (filmMm2[i] ?? 0) / (cellOhm[i] ?? 1) : 0);
  const rows = cellOhm.map((ohm, i): LinearRow => {
    const scale = Math.max(ohm, leastCellOhm);
    const above: readonly [number, number] = [i, unit(i) / scale];
    return {
      lower: ohm / scale,
      upper: (ohm + roomOf(problem, i)) / scale,
      terms: i === 0 ? [above] : [[i - 1, -unit(i - 1) / scale], above],
    };
  });
  taps.forEach((tap, p) => {
    if (tap.lowRatio > 0)
      rows.push({
        lower: 0,
        upper: none,
        terms: [
          [p, 1],
          [total, -tap.lowRatio / tap.aimRatio],
        ],
      });
    rows.push({
      lower: -none,
      upper: 0,
      terms: [
        [p, 1],
        [total, -tap.highRatio / tap.aimRatio],
      ],
    });
  });
  return {
    sense: 'minimise',
    cost: cellOhm.map((_, i) => unit(i) * (perOhm(i) - (i < total ? perOhm(i + 1) : 0))),
    lower: [...taps.map(() => 0), limits.leastTotalOhm / totalOhm],
    upper: [...taps.map(() => none), limits.mostTotalOhm / totalOhm],
    rows,
  };
}

/** What each cell gains, ohm, from the values of `removalProgramme`. */
export function addedOhmOf(problem: TrimProblem, values: readonly number[]): readonly number[] {
  const { cellOhm, limits } = problem;
  const totalOhm = sumOf(cellOhm);
  const ohmBelow = (node: number): number =>
    node < 0 ? 0 : (values[node] ?? 0) * (limits.taps[node]?.aimRatio ?? 1) * totalOhm;
  return cellOhm.map((ohm, i) => Math.min(roomOf(problem, i), Math.max(0, ohmBelow(i) - ohmBelow(i - 1) - ohm)));
}
