/** Linear programmes as plain data, and the solver behind one small interface. */
import type { Highs } from 'highs';

/** Minimise or maximise `cost` x over `lower` <= x <= `upper` and, row by row, `lower` <= sum of terms <= `upper`. */
export interface LinearProgramme {
  readonly sense: 'minimise' | 'maximise';
  readonly cost: readonly number[];
  readonly lower: readonly number[];
  readonly upper: readonly number[];
  readonly rows: readonly LinearRow[];
}

export interface LinearRow {
  readonly lower: number;
  readonly upper: number;
  readonly terms: readonly (readonly [column: number, coefficient: number])[];
}

export type LinearAnswer =
  | { readonly status: 'optimal'; readonly values: readonly number[]; readonly objective: number }
  | { readonly status: 'infeasible' };

/** Solves one programme; the caller may hand in any solver. */
export interface LinearSolver {
  /** @throws SolverError when the solver ends without an answer */
  solve(programme: LinearProgramme): LinearAnswer;
}

/** The solver gave up: neither an optimum nor a proof that there is none. */
export class SolverError extends Error {
  override readonly name = 'SolverError';
  readonly code = 'trim.solver';
  readonly userFixable = false;
  constructor(status: string) {
    super(
      `The planner's solver ended without an answer (${status}). Nothing was planned; measure the piece again and report this.`,
    );
  }
}

let loading: Promise<LinearSolver> | null = null;

/** Loads HiGHS once, when it is first asked for; about 0.1 s. */
export function loadLinearSolver(): Promise<LinearSolver> {
  loading ??= start();
  return loading;
}

async function start(): Promise<LinearSolver> {
  // Its types describe the CommonJS build, where the loader lies one `default` deeper; what is run is the module.
  const module: { readonly default: unknown } = await import('highs');
  return solverOn(await (module.default as () => Promise<Highs>)());
}

function solverOn(highs: Highs): LinearSolver {
  const { objectiveSense, modelStatus } = highs.constants;
  return {
    solve(programme) {
      const numCols = programme.cost.length;
      const numRows = programme.rows.length;
      const starts = [0];
      const indices: number[] = [];
      const values: number[] = [];
      for (const row of programme.rows) {
        for (const [column, coefficient] of row.terms) {
          if (coefficient === 0) continue;
          indices.push(column);
          values.push(coefficient);
        }
        starts.push(indices.length);
      }
      const data = {
        numCols,
        numRows,
        sense: programme.sense === 'minimise' ? objectiveSense.minimize : objectiveSense.maximize,
        colCost: programme.cost,
        colLower: programme.lower,
        colUpper: programme.upper,
        rowLower: programme.rows.map((row) => row.lower),
        rowUpper: programme.rows.map((row) => row.upper),
        matrix: { format: 'csr' as const, numRows, numCols, starts, indices, values },
      };
      return highs.withModel(data, (model): LinearAnswer => {
        model.options.set({
          output_flag: false,
          solver: 'simplex',
          primal_feasibility_tolerance: 1e-9,
          dual_feasibility_tolerance: 1e-9,
        });
        model.run();
        const status = model.getModelStatus();
        if (status === modelStatus.infeasible) return { status: 'infeasible' };
        if (status !== modelStatus.optimal) throw new SolverError(`status ${status}`);
        return {
          status: 'optimal',
          values: [...model.getSolution().colValue],
          objective: model.getObjectiveValue(),
        };
      });
    },
  };
}
