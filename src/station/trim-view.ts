/** A piece as every screen is told of it. Pure. */
import type { RunRecord } from '../archive/records.ts';
import type { ToolKind } from '../trim/belief.ts';
import type { ToolBelief } from '../trim/trim.ts';
import { mustRemeasure, type PieceHistory } from './trim-history.ts';
import { trimSentence } from './trim-sentences.ts';
import type { TrimSettings } from './trim-settings.ts';
import type { TrimPieceView } from './trim-views.ts';

/** @param voidReason why the newest measurement says nothing; null = it does */
export function pieceView(
  history: PieceHistory,
  passLimit: number,
  belief: ToolBelief,
  voidReason: string | null,
): TrimPieceView {
  const { first, last, state, pass, passes, measured, plan, end, sort, firstSort, runs } = history;
  const sentence = trimSentence(history, passLimit);
  return {
    serial: last.serial,
    batch: last.batch,
    lawId: last.lawId,
    lawRevision: last.lawRevision,
    operator: last.operator,
    toolId: last.toolId,
    toolKind: last.toolKind as ToolKind,
    state,
    mustRemeasure: mustRemeasure(history),
    sort,
    firstSort,
    reasons: [...(end?.reasons ?? [])],
    sentence: voidReason === null ? sentence : `The newest measurement says nothing: ${voidReason} ${sentence}`,
    pass,
    passLimit,
    plan,
    cells: [...(measured.profile?.cells ?? [])],
    rules: measured.rules,
    belief,
    passes: [...passes],
    runs: [...runs],
    startedAt: first.at,
    changedAt: last.at,
  };
}

/** A piece of which nothing is known yet: its only measurement was void or stopped. */
export function unmeasuredView(run: RunRecord, settings: TrimSettings, belief: ToolBelief): TrimPieceView {
  return {
    serial: run.serial,
    batch: run.batch,
    lawId: run.lawId,
    lawRevision: run.lawRevision,
    operator: run.operator,
    toolId: settings.toolId,
    toolKind: settings.toolKind,
    state: 'measured',
    mustRemeasure: false,
    sort: null,
    firstSort: null,
    reasons: [],
    sentence: `The measurement says nothing: ${run.verdictReason} Measure it again.`,
    pass: 0,
    passLimit: settings.passLimit,
    plan: null,
    cells: [],
    rules: null,
    belief,
    passes: [],
    runs: [],
    startedAt: run.startedAt,
    changedAt: run.endedAt,
  };
}
