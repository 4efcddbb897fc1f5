/** The opened run and all runs of its serial. What was shown stays until the next has been read. */
import { useEffect, useState } from 'react';
import type { RunRecord, RunSummary } from '../../../src/archive/records.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt, recordedStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';

export interface OpenedRecord {
  readonly run: RunRecord;
  /** Newest first. */
  readonly attempts: readonly RunSummary[];
}

export function useRecord(runId: string | null): OpenedRecord | null {
  const [opened, setOpened] = useState<OpenedRecord | null>(null);
  const recorded = useStore(recordedStore);
  const newest = recorded?.summary.serial === opened?.run.serial ? (recorded?.summary.runId ?? null) : null;
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new run of this serial adds to its runs
  useEffect(() => {
    if (runId === null) {
      setOpened(null);
      return;
    }
    let isCurrent = true;
    void attempt(async () => {
      const run = await callCore('run.read', { runId });
      const attempts = await callCore('runs.ofSerial', { serial: run.serial });
      if (isCurrent) setOpened({ run, attempts });
    });
    return () => {
      isCurrent = false;
    };
  }, [runId, newest]);
  return opened;
}
