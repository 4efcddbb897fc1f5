/** What the trimming report is made of. */
import type { RunRecord } from '../archive/records.ts';
import type { LawData } from '../law/law.ts';
import type { Cut, CuttingRules, TrimSort } from '../trim/trim.ts';

export interface TrimmedPass {
  readonly pass: number;
  readonly toolId: string;
  /** Cuts that were made, in order. */
  readonly cuts: readonly Cut[];
  /** Achieved over predicted; null = it could not be told. */
  readonly gain: number | null;
}

export interface TrimmedPiece {
  readonly serial: string;
  /** `accepted`, `ended`, `hopeless`, or where it stands. */
  readonly state: string;
  readonly firstSort: TrimSort['word'] | null;
  readonly sentence: string;
  readonly passes: readonly TrimmedPass[];
  readonly rules: CuttingRules;
  /** Its first and its newest measurement; the same run when nothing was cut. */
  readonly before: RunRecord;
  readonly after: RunRecord;
  /** Largest deviation as a share of its limit; null = not known. */
  readonly worstBeforeShare: number | null;
  readonly worstAfterShare: number | null;
  readonly removalMm2: number;
  /** Null = not at an end. */
  readonly tookMs: number | null;
}

export interface TrimReportInput {
  readonly title: string;
  readonly batch: string;
  readonly law: LawData;
  /** In the order in which they came to the bench. */
  readonly pieces: readonly TrimmedPiece[];
  /** What is believed of the tool at the end: mean and standard deviation; null = nothing was learnt. */
  readonly gain: { readonly mean: number; readonly sd: number } | null;
  /** Share brought in by one pass, of the pieces that were cut and brought in. */
  readonly firstPassShare: number | null;
  readonly medianTookMs: number | null;
  readonly programVersion: string;
  /** ISO 8601 UTC, handed in. */
  readonly madeAt: string;
}
