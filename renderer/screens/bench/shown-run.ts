/** The measured piece that strip, chart and word show: the last recorded one, or an older one that was picked. */
import type { CheckRecord, PointRecord, RunSummary } from '../../../src/archive/records.ts';
import { nextSteps } from '../../../src/verdict/sentences.ts';
import { callCore } from '../../bridge/calls.ts';
import { recordedStore } from '../../bridge/station.ts';
import { makeStore } from '../../bridge/store.ts';

export interface ShownRun {
  readonly summary: RunSummary;
  readonly points: readonly PointRecord[];
  /** Null until they were read from the archive. */
  readonly checks: readonly CheckRecord[] | null;
  readonly nextStep: string;
  /** True: picked from the last pieces, not what was just measured. */
  readonly isLookedUp: boolean;
}

export const shownRunStore = makeStore<ShownRun | null>(null);

/** Shows a run from the archive. */
export async function lookUp(summary: RunSummary): Promise<void> {
  const { points, checks } = await callCore('run.read', { runId: summary.runId });
  shownRunStore.set({ summary, points, checks, nextStep: nextSteps[summary.verdict], isLookedUp: true });
}

/** Follows what is recorded. @param onTrouble the checks of a recorded run could not be read */
export function followRecorded(onTrouble: (error: unknown) => void): () => void {
  return recordedStore.subscribe(() => {
    const recorded = recordedStore.get();
    if (recorded === null) {
      shownRunStore.set(null);
      return;
    }
    shownRunStore.set({ ...recorded, checks: null, isLookedUp: false });
    const { runId } = recorded.summary;
    callCore('run.read', { runId }).then(({ checks }) => {
      shownRunStore.set((now) => (now?.summary.runId === runId ? { ...now, checks } : now));
    }, onTrouble);
  });
}
