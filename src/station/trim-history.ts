/** A piece as its events tell it: state, passes, cuts made. Pure. */
import type { TrimEvent, TrimEventState } from '../archive/trim-records.ts';
import type { ToolKind } from '../trim/belief.ts';
import type { Cut, CuttingRules, HopelessReason, ToolBelief, TrackProfile, TrimPlan } from '../trim/trim.ts';
import type { PassGain, SortWord, TrimPassView } from './trim-views.ts';

/** What is kept with each event. */
export interface MeasuredContent {
  readonly verdict: string;
  readonly verdictReason: string;
  readonly worstDeviationDb: number | null;
  /** Largest deviation as a share of its limit: 1 = on the limit. Null = no point was measured. */
  readonly worstShare: number | null;
  /** ISO 8601 UTC. */
  readonly startedAt: string;
  readonly profile: TrackProfile | null;
  readonly rules: CuttingRules;
  /** Cuts asked for and never acknowledged that this measurement shows to be made. */
  readonly cutsFound: readonly number[];
  readonly gain: PassGain | null;
  /** A virtual track of this serial that is raw again: what went before was another film. */
  readonly isFresh: boolean;
}
export interface PlannedContent {
  readonly plan: TrimPlan;
  readonly belief: ToolBelief;
}
export interface CutsDoneContent {
  readonly cuts: readonly number[];
  /** Those that were cut by the live needle: they say nothing of the tool's gain. */
  readonly byNeedle: readonly number[];
}
export type EndCause = 'verdict' | 'passLimit' | 'risk' | 'tooSmall' | 'operator';
export interface EndContent {
  /** Null = as sorted before. */
  readonly sort: SortWord | null;
  readonly cause: EndCause | null;
  readonly sentence: string;
  readonly reasons: readonly HopelessReason[];
}

export interface PieceHistory {
  readonly first: TrimEvent;
  readonly last: TrimEvent;
  /** `cutsDone` only when every cut of the pass is acknowledged. */
  readonly state: TrimEventState;
  /** Cutting passes asked for. */
  readonly pass: number;
  readonly passes: readonly TrimPassView[];
  readonly measured: MeasuredContent;
  readonly firstMeasured: MeasuredContent;
  /** To be cut next, or asked for and not measured yet. */
  readonly plan: TrimPlan | null;
  readonly end: EndContent | null;
  readonly sort: SortWord | null;
  readonly firstSort: SortWord | null;
  readonly runs: readonly string[];
  /** All cuts the piece has, in the order of making. */
  readonly cuts: readonly Cut[];
  /** Of the newest pass: cuts guided by the needle. */
  readonly byNeedle: readonly number[];
}

/** @param all events of one serial, oldest first. @returns null without events */
export function historyOf(all: readonly TrimEvent[]): PieceHistory | null {
  const fresh = all.findLastIndex(({ state, content }) => state === 'measured' && (content as MeasuredContent).isFresh);
  const events = all.slice(Math.max(0, fresh));
  const first = events[0];
  const last = events.at(-1);
  if (first === undefined || last === undefined) return null;
  const passes: TrimPassView[] = [];
  const runs: string[] = [];
  const cuts: Cut[] = [];
  let measured: MeasuredContent | null = null;
  let firstMeasured: MeasuredContent | null = null;
  let plan: TrimPlan | null = null;
  let end: EndContent | null = null;
  let sort: SortWord | null = null;
  let firstSort: SortWord | null = null;
  let byNeedle: number[] = [];
  for (const event of events) {
    const pending = passes.at(-1);
    if (event.state === 'measured') {
      const content = event.content as MeasuredContent;
      if (pending !== undefined && pending.runAfter === null) {
        const found = content.cutsFound.filter((number) => !pending.cutsDone.includes(number));
        cuts.push(...pending.plan.cuts.filter(({ number }) => found.includes(number)));
        const cutsDone = [...pending.cutsDone, ...found];
        passes[passes.length - 1] = { ...pending, cutsDone, runAfter: event.runId, gain: content.gain };
      }
      runs.push(event.runId);
      measured = content;
      firstMeasured ??= content;
      plan = null;
      end = null;
      sort = null;
    } else if (event.state === 'planned') {
      sort = 'trimmable';
      plan = (event.content as PlannedContent).plan;
    } else if (event.state === 'cutsAsked' && plan !== null) {
      byNeedle = [];
      passes.push({
        pass: event.pass,
        toolId: event.toolId,
        toolKind: event.toolKind as ToolKind,
        runBefore: event.runId,
        runAfter: null,
        plan,
        cutsDone: [],
        askedAt: event.at,
        doneAt: null,
        gain: null,
      });
    } else if (event.state === 'cutsDone' && pending !== undefined) {
      const content = event.content as CutsDoneContent;
      cuts.push(...pending.plan.cuts.filter(({ number }) => content.cuts.includes(number)));
      byNeedle.push(...content.byNeedle);
      const cutsDone = [...pending.cutsDone, ...content.cuts];
      passes[passes.length - 1] = { ...pending, cutsDone, doneAt: event.at };
    } else {
      end = event.content as EndContent;
      sort = end.sort ?? sort;
    }
    firstSort ??= sort;
  }
  if (measured === null || firstMeasured === null) return null;
  const pending = passes.at(-1);
  const isPart = last.state === 'cutsDone' && pending !== undefined && leftOf(pending).length > 0;
  const state = isPart ? 'cutsAsked' : last.state;
  const pass = passes.length;
  return {
    first,
    last,
    state,
    pass,
    passes,
    measured,
    firstMeasured,
    plan,
    end,
    sort,
    firstSort,
    runs,
    cuts,
    byNeedle,
  };
}

/** Cuts of a pass that nobody has said are made. */
export function leftOf(pass: Pick<TrimPassView, 'plan' | 'cutsDone'>): readonly Cut[] {
  return pass.plan.cuts.filter(({ number }) => !pass.cutsDone.includes(number));
}

/** Film was or may have been taken since the last measurement. */
export const mustRemeasure = ({ state }: Pick<PieceHistory, 'state'>): boolean =>
  state === 'cutsAsked' || state === 'cutsDone';

export const isAtEnd = (state: TrimEventState): boolean =>
  state === 'accepted' || state === 'ended' || state === 'hopeless';
