import { type Constraint, solve } from 'yalps';
import type { LinearAnswer, LinearProgramme } from '../../src/trim/solver.ts';

/** The same programme for another solver: columns moved so that they begin at zero, free ones split in two. */
export function solveWithSecondSolver(programme: LinearProgramme): LinearAnswer {
  const { lower, upper, rows } = programme;
  const columns = programme.cost.length;
  const base = lower.map((bound) => (Number.isFinite(bound) ? bound : 0));
  const constraints = new Map<string, Constraint>();
  const moved = (bound: number, offset: number): number => bound - offset;
  rows.forEach((row, r) => {
    const offset = row.terms.reduce((sum, [column, value]) => sum + value * (base[column] ?? 0), 0);
    if (row.lower === row.upper) constraints.set(`row${r}`, { equal: moved(row.lower, offset) });
    else
      constraints.set(`row${r}`, {
        ...(Number.isFinite(row.lower) ? { min: moved(row.lower, offset) } : {}),
        ...(Number.isFinite(row.upper) ? { max: moved(row.upper, offset) } : {}),
      });
  });
  upper.forEach((bound, column) => {
    if (Number.isFinite(bound)) constraints.set(`upper${column}`, { max: moved(bound, base[column] ?? 0) });
  });
  const variables: [string, Map<string, number>][] = [];
  for (let column = 0; column < columns; column += 1) {
    const entries = rows.flatMap((row, r) =>
      row.terms.filter(([one]) => one === column).map(([, value]): [string, number] => [`row${r}`, value]),
    );
    const all: [string, number][] = [
      ...entries,
      ['cost', programme.cost[column] ?? 0],
      ...(Number.isFinite(upper[column]) ? [[`upper${column}`, 1] as [string, number]] : []),
    ];
    variables.push([`+${column}`, new Map(all)]);
    if (!Number.isFinite(lower[column]))
      variables.push([`-${column}`, new Map(all.map(([key, value]): [string, number] => [key, -value]))]);
  }
  const answer = solve(
    {
      direction: programme.sense === 'minimise' ? 'minimize' : 'maximize',
      objective: 'cost',
      constraints,
      variables,
    },
    { precision: 1e-10, maxPivots: 100_000, checkCycles: true },
  );
  if (answer.status === 'infeasible') return { status: 'infeasible' };
  if (answer.status !== 'optimal') throw new Error(`the second solver says ${answer.status}`);
  const values = [...base];
  for (const [key, value] of answer.variables) {
    const column = Number(key.slice(1));
    values[column] = (values[column] ?? 0) + (key.startsWith('+') ? value : -value);
  }
  const objective = values.reduce((sum, value, i) => sum + value * (programme.cost[i] ?? 0), 0);
  return { status: 'optimal', values, objective };
}
