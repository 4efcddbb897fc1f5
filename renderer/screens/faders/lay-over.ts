/**
 * Which runs are laid over the opened one, and their curves. Only points are kept, and of a bounded number of runs: a
 * whole record with its traces is read, used and let go.
 */
import type { RunSummary } from '../../../src/archive/records.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { makeStore } from '../../bridge/store.ts';
import type { CurveSource } from '../../charts/curve-set.ts';

/** More than this is a black field, and nothing more is learnt. */
export const mostLaidOver = 500;
const readAtOnce = 4;

export interface LaidOver {
  readonly runs: readonly RunSummary[];
  readonly curves: readonly CurveSource[];
  /** Runs still to be read. */
  readonly waiting: number;
}

export const nothingLaidOver: LaidOver = { runs: [], curves: [], waiting: 0 };
export const laidOver = makeStore<LaidOver>(nothingLaidOver);

const read = new Map<string, CurveSource>();
let turn = 0;

/** Lays exactly these runs over; the newest wish wins. */
export async function layOver(runs: readonly RunSummary[]): Promise<void> {
  turn += 1;
  const mine = turn;
  const wanted = runs.slice(0, mostLaidOver);
  const missing = wanted.filter((run) => !read.has(run.runId));
  const show = (waiting: number): void =>
    laidOver.set({ runs: wanted, curves: wanted.flatMap((run) => read.get(run.runId) ?? []), waiting });
  show(missing.length);
  let next = 0;
  let shownAt = performance.now();
  const reader = async (): Promise<void> => {
    while (mine === turn && next < missing.length) {
      const run = missing[next];
      next += 1;
      if (run === undefined) return;
      const record = await attempt(() => callCore('run.read', { runId: run.runId }));
      // A failure was told; going on would tell it once for every run.
      if (record === null) {
        next = missing.length;
        return;
      }
      read.set(run.runId, {
        runId: run.runId,
        serial: run.serial,
        verdict: run.verdict,
        points: record.points.map(({ travelMm, deviationDb }) => ({ travelMm, deviationDb })),
      });
      if (mine === turn && performance.now() - shownAt > 250) {
        shownAt = performance.now();
        show(missing.length - next);
      }
    }
  };
  await Promise.all(Array.from({ length: readAtOnce }, reader));
  if (mine === turn) show(0);
  forgetAllBut(wanted);
}

export function toggleLaidOver(run: RunSummary): void {
  const { runs } = laidOver.get();
  const isLaid = runs.some((other) => other.runId === run.runId);
  void layOver(isLaid ? runs.filter((other) => other.runId !== run.runId) : [...runs, run]);
}

function forgetAllBut(wanted: readonly RunSummary[]): void {
  if (read.size <= mostLaidOver * 4) return;
  const keep = new Set(wanted.map((run) => run.runId));
  for (const runId of read.keys()) if (!keep.has(runId)) read.delete(runId);
}
