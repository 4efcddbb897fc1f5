/**
 * The planner's two stages written down a second time, from the definition and cell by cell, for the other solver: nothing
 * but the problem and the row type is shared with what is tested.
 */
import { withMargin } from '../../src/trim/bands.ts';
import type { TrimProblem } from '../../src/trim/programme.ts';
import type { LinearProgramme, LinearRow } from '../../src/trim/solver.ts';

const none = Number.POSITIVE_INFINITY;
type Terms = (readonly [number, number])[];

function shapeOf({ cellOhm, mostAddedOhm, limits }: TrimProblem) {
  const totalOhm = cellOhm.reduce((sum, ohm) => sum + ohm, 0);
  const weight = cellOhm.map((ohm) => ohm / totalOhm);
  const ratioNow = (p: number): number => weight.slice(0, p + 1).reduce((sum, w) => sum + w, 0);
  return {
    totalOhm,
    weight,
    growth: cellOhm.map((ohm, i) => (mostAddedOhm[i] ?? 0) / ohm),
    ratioNow,
    taps: limits.taps,
  };
}

/** Columns: a_i = growth of cell i times q, then q = present total / total after, then the margin. */
export function plainMargin(problem: TrimProblem): LinearProgramme {
  const { totalOhm, weight, growth, ratioNow, taps } = shapeOf(problem);
  const cells = weight.length;
  const [q, margin] = [cells, cells + 1];
  const rows: LinearRow[] = growth.map((most, i) => ({
    lower: -none,
    upper: 0,
    terms: [
      [i, 1],
      [q, -most],
    ],
  }));
  rows.push({ lower: 1, upper: 1, terms: [...weight.map((w, i): [number, number] => [i, w]), [q, 1]] });
  taps.forEach((tap, p) => {
    const ratio: Terms = weight.slice(0, p + 1).map((w, i) => [i, w / tap.aimRatio]);
    ratio.push([q, ratioNow(p) / tap.aimRatio]);
    const low = tap.lowRatio / tap.aimRatio;
    const high = tap.highRatio / tap.aimRatio;
    if (tap.lowRatio > 0) rows.push({ lower: low, upper: none, terms: [...ratio, [margin, low - 1]] });
    rows.push({ lower: -none, upper: high, terms: [...ratio, [margin, high - 1]] });
  });
  const { leastTotalOhm, mostTotalOhm } = problem.limits;
  return {
    sense: 'maximise',
    cost: [...weight.map(() => 0), 0, 1],
    lower: [...weight.map(() => 0), totalOhm / mostTotalOhm, -none],
    upper: [...weight.map(() => none), totalOhm / leastTotalOhm, 1],
    rows,
  };
}

/** Columns: growth of each cell, r_i / R_i. */
export function plainRemoval(problem: TrimProblem, margin: number): LinearProgramme {
  const { totalOhm, weight, growth, ratioNow } = shapeOf(problem);
  const { taps, leastTotalOhm, mostTotalOhm } = withMargin(problem.limits, margin);
  const rows: LinearRow[] = [];
  taps.forEach((tap, p) => {
    const terms = (ratio: number): Terms => weight.map((w, i) => [i, w * ((i <= p ? 1 / ratio : 0) - 1)]);
    if (tap.lowRatio > 0) rows.push({ lower: 1 - ratioNow(p) / tap.lowRatio, upper: none, terms: terms(tap.lowRatio) });
    rows.push({ lower: -none, upper: 1 - ratioNow(p) / tap.highRatio, terms: terms(tap.highRatio) });
  });
  rows.push({
    lower: leastTotalOhm / totalOhm - 1,
    upper: mostTotalOhm / totalOhm - 1,
    terms: weight.map((w, i): [number, number] => [i, w]),
  });
  return { sense: 'minimise', cost: problem.filmMm2, lower: weight.map(() => 0), upper: growth, rows };
}
