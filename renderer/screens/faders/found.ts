/** Runs found by a query, fetched page by page as the list is looked at. */
import { useEffect, useRef, useState } from 'react';
import type { RunSummary } from '../../../src/archive/records.ts';
import type { FindQuery } from '../../../src/contract/commands.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt, recordedStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';

export const pageSize = 100;

/** Pages of the list that hold the rows from `first` to `last`. */
export function pagesOf(first: number, last: number): readonly number[] {
  const [from, to] = [Math.floor(first / pageSize), Math.floor(last / pageSize)];
  return Array.from({ length: to - from + 1 }, (_, index) => from + index);
}

export interface Found {
  /** Null until the first answer came. */
  readonly total: number | null;
  readonly rowAt: (index: number) => RunSummary | null;
  /** Says which rows are in view; what is missing is fetched. */
  readonly show: (first: number, last: number) => void;
}

interface Kept {
  readonly key: string;
  readonly total: number | null;
  readonly pages: ReadonlyMap<number, readonly RunSummary[]>;
}

/** Asks anew when the query changes and when a run was recorded; what is shown stays until the answer comes. */
export function useFound(query: FindQuery): Found {
  const recorded = useStore(recordedStore);
  const key = `${recorded?.summary.runId ?? ''} ${JSON.stringify(query)}`;
  const [kept, setKept] = useState<Kept>({ key: '', total: null, pages: new Map() });
  const asked = useRef(new Set<string>());
  const now = useRef(key);
  now.current = key;

  const fetchPage = async (page: number): Promise<void> => {
    const mark = `${page} ${key}`;
    if (asked.current.has(mark)) return;
    asked.current.add(mark);
    const answer = await attempt(() => callCore('runs.find', { ...query, limit: pageSize, offset: page * pageSize }));
    if (answer === null) asked.current.delete(mark);
    if (answer === null || now.current !== key) return;
    setKept((before) => {
      const pages = new Map(before.key === key ? before.pages : []);
      pages.set(page, answer.runs);
      return { key, total: answer.total, pages };
    });
  };

  // biome-ignore lint/correctness/useExhaustiveDependencies: the key stands for the query and the last recorded run
  useEffect(() => {
    asked.current.clear();
    void fetchPage(0);
  }, [key]);

  return {
    total: kept.total,
    rowAt: (index) => kept.pages.get(Math.floor(index / pageSize))?.[index % pageSize] ?? null,
    show: (first, last) => {
      for (const page of pagesOf(first, last)) if (page > 0) void fetchPage(page);
    },
  };
}
