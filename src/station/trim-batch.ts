/** A trimming batch at a glance: pieces, sorts, passes, what was learnt of the tool, time. Pure. */
import type { TrimEvent, TrimEventState } from '../archive/trim-records.ts';
import { historyOf, isAtEnd, type MeasuredContent, type PieceHistory } from './trim-history.ts';
import type { SortWord } from './trim-views.ts';

export interface TrimBatchPieceView {
  readonly serial: string;
  readonly state: TrimEventState;
  readonly firstSort: SortWord | null;
  readonly passes: number;
  readonly worstBeforeDb: number | null;
  readonly worstAfterDb: number | null;
  readonly worstBeforeShare: number | null;
  readonly worstAfterShare: number | null;
  readonly cuts: number;
  readonly removalMm2: number;
  readonly tookMs: number | null;
}

export interface GainStepView {
  readonly pass: number;
  readonly serial: string;
  readonly at: string;
  readonly toolId: string;
  readonly achieved: number | null;
  readonly mean: number;
  readonly sd: number;
}

export interface TrimBatchView {
  readonly batch: string;
  readonly pieces: TrimBatchPieceView[];
  readonly done: number;
  readonly sorts: Record<SortWord, number>;
  readonly ends: { accepted: number; ended: number; hopeless: number; open: number };
  readonly passes: { passes: number; pieces: number }[];
  readonly firstPassShare: number | null;
  readonly gains: GainStepView[];
  readonly medianTookMs: number | null;
}

/** @param events of all pieces of the batch, oldest first */
export function batchOf(batch: string, events: readonly TrimEvent[]): TrimBatchView {
  const bySerial = Map.groupBy(events, ({ serial }) => serial);
  const histories = [...bySerial.values()].flatMap((own) => historyOf(own) ?? []);
  const ends = { accepted: 0, ended: 0, hopeless: 0, open: 0 };
  const sorts = { conforms: 0, trimmable: 0, hopeless: 0 };
  const byPasses = new Map<number, number>();
  for (const { state, firstSort, pass } of histories) {
    if (state === 'accepted' || state === 'ended' || state === 'hopeless') ends[state] += 1;
    else ends.open += 1;
    if (firstSort !== null) sorts[firstSort] += 1;
    if (state === 'accepted' && pass > 0) byPasses.set(pass, (byPasses.get(pass) ?? 0) + 1);
  }
  const cutAndDone = histories.filter(({ state, pass }) => pass > 0 && isAtEnd(state)).length;
  const pieces = histories.map(pieceOf);
  return {
    batch,
    pieces,
    done: histories.length - ends.open,
    sorts,
    ends,
    passes: [...byPasses].map(([passes, count]) => ({ passes, pieces: count })).sort((a, b) => a.passes - b.passes),
    firstPassShare: cutAndDone === 0 ? null : (byPasses.get(1) ?? 0) / cutAndDone,
    gains: gainsOf(events, histories),
    medianTookMs: median(pieces.flatMap(({ tookMs }) => tookMs ?? [])),
  };
}

function pieceOf(history: PieceHistory): TrimBatchPieceView {
  const { last, state, firstSort, pass, passes, measured, firstMeasured, cuts } = history;
  const isMeasured = passes.at(-1)?.runAfter !== null;
  const measuredPasses = passes.filter(({ cutsDone }) => cutsDone.length > 0);
  return {
    serial: last.serial,
    state,
    firstSort,
    passes: pass,
    worstBeforeDb: firstMeasured.worstDeviationDb,
    worstAfterDb: isMeasured ? measured.worstDeviationDb : null,
    worstBeforeShare: firstMeasured.worstShare,
    worstAfterShare: isMeasured ? measured.worstShare : null,
    cuts: cuts.length,
    removalMm2: measuredPasses.reduce(
      (sum, { plan, cutsDone }) => sum + (plan.removalMm2 * cutsDone.length) / plan.cuts.length,
      0,
    ),
    tookMs: isAtEnd(state) ? Date.parse(last.at) - Date.parse(firstMeasured.startedAt) : null,
  };
}

function gainsOf(events: readonly TrimEvent[], histories: readonly PieceHistory[]): GainStepView[] {
  const toolOf = new Map(
    histories.flatMap(({ passes }) => passes.map(({ runAfter, toolId }) => [runAfter, toolId] as const)),
  );
  return events
    .filter(({ state }) => state === 'measured')
    .flatMap(({ serial, at, runId, toolId, content }) => {
      const { gain } = content as MeasuredContent;
      if (gain === null) return [];
      const { achieved, after } = gain;
      return [{ serial, at, toolId: toolOf.get(runId) ?? toolId, achieved, mean: after.mean, sd: after.sd }];
    })
    .map((step, index) => ({ pass: index + 1, ...step }));
}

function median(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length / 2;
  const upper = sorted[Math.floor(middle)] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? 0) + upper) / 2;
}
