/** What the station tells of trimming. The contract has the same shapes. */
import type { TrimEventState } from '../archive/trim-records.ts';
import type { ToolKind } from '../trim/belief.ts';
import type { CuttingRules, HopelessReason, ToolBelief, TrackCell, TrimPlan, TrimSort } from '../trim/trim.ts';

export type SortWord = TrimSort['word'];

export interface PassGain {
  /** Seen in this pass alone; null = it could not be told. */
  readonly achieved: number | null;
  readonly before: ToolBelief;
  readonly after: ToolBelief;
}

/** One cutting pass. */
export interface TrimPassView {
  readonly pass: number;
  readonly toolId: string;
  readonly toolKind: ToolKind;
  readonly runBefore: string;
  readonly runAfter: string | null;
  readonly plan: TrimPlan;
  /** Numbers of the cuts that are made. */
  readonly cutsDone: number[];
  readonly askedAt: string | null;
  readonly doneAt: string | null;
  readonly gain: PassGain | null;
}

export interface TrimPieceView {
  readonly serial: string;
  readonly batch: string | null;
  readonly lawId: string;
  readonly lawRevision: number;
  readonly operator: string;
  readonly toolId: string;
  readonly toolKind: ToolKind;
  readonly state: TrimEventState;
  readonly mustRemeasure: boolean;
  readonly sort: SortWord | null;
  readonly firstSort: SortWord | null;
  readonly reasons: HopelessReason[];
  readonly sentence: string;
  readonly pass: number;
  readonly passLimit: number;
  readonly plan: TrimPlan | null;
  readonly cells: TrackCell[];
  readonly rules: CuttingRules | null;
  readonly belief: ToolBelief;
  readonly passes: TrimPassView[];
  readonly runs: string[];
  readonly startedAt: string;
  readonly changedAt: string;
}

export interface TrimGlance {
  readonly serial: string;
  readonly state: TrimEventState;
  readonly mustRemeasure: boolean;
  readonly pass: number;
  readonly passLimit: number;
  readonly isPlanning: boolean;
  readonly settleLeftMs: number;
  readonly needleCell: number | null;
}

export interface NeedleReadingView {
  readonly serial: string;
  readonly cellIndex: number;
  readonly state: 'parking' | 'waiting' | 'live' | 'stop' | 'ended';
  readonly reason: string | null;
  readonly parkedMm: number;
  readonly atMs: number;
  readonly ratio: number | null;
  readonly totalOhm: number | null;
  readonly startOhm: number;
  readonly nowOhm: number | null;
  readonly targetOhm: number;
  readonly stopOhm: number;
  readonly approach: number | null;
  readonly rateOhmPerS: number | null;
  readonly stop: boolean;
  readonly over: boolean;
}

export interface TrimListener {
  /** The change is on disk. */
  piece(piece: TrimPieceView): void;
  needle(reading: NeedleReadingView): void;
  changed(): void;
  trouble(error: unknown): void;
}
