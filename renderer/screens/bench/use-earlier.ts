/** The earlier runs of the piece that is next, read anew when another run of it is recorded. */
import { useEffect, useState } from 'react';
import type { RunSummary } from '../../../src/archive/records.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt, recordedStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { dateText, dateTimeText, timeText } from '../../format/dates.ts';
import { type Earlier, earlierOf } from './earlier.ts';

interface RunsOfPiece {
  readonly serial: string;
  readonly runs: readonly RunSummary[];
}

/** @param serial null = no piece is next, or nobody can be asked @returns null while nothing is known of it */
export function useEarlier(serial: string | null, lawId: string | null): Earlier | null {
  const [known, setKnown] = useState<RunsOfPiece | null>(null);
  const newest = useStore(recordedStore)?.summary.runId ?? null;
  // biome-ignore lint/correctness/useExhaustiveDependencies: a new run adds to the runs of its serial
  useEffect(() => {
    if (serial === null) return;
    let isCurrent = true;
    void attempt(async () => {
      const runs = await callCore('runs.ofSerial', { serial });
      if (isCurrent) setKnown({ serial, runs });
    });
    return () => {
      isCurrent = false;
    };
  }, [serial, newest]);
  if (known === null || known.serial !== serial) return null;
  const today = dateText(new Date().toISOString());
  return earlierOf(known.runs, lawId, (iso) => (dateText(iso) === today ? timeText(iso) : dateTimeText(iso)));
}
