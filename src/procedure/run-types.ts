/** What goes into a run of a procedure and what comes out. */
import type { CleanupReport } from './cleanup.ts';
import type { AskOperator } from './perform.ts';
import type { RunProgress } from './progress.ts';
import type { RunState } from './run-state.ts';
import type { ProcedureReading, ProcedureTrace } from './steps.ts';

export interface RunOptions {
  /** Monotonic milliseconds. */
  readonly nowMs: () => number;
  /** Aborting it is a stop. */
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: RunProgress) => void;
  readonly onReading?: (reading: ProcedureReading) => void;
  /** Asks the operator; resolves true to go on. Without it every question ends the run. */
  readonly ask?: AskOperator;
  /** A motion needs an interlock reading at most this old, ms. */
  readonly interlockFreshMs?: number;
  /** Park after a stop or a refusal, when the interlocks allow it. */
  readonly parkAfterStop?: boolean;
}

export interface RunResult {
  readonly outcome: 'completed' | 'stopped' | 'void';
  /** Null only for `completed`. */
  readonly reason: string | null;
  readonly code: string | null;
  /** What was read until the end, whole or not. */
  readonly readings: readonly ProcedureReading[];
  readonly traces: readonly ProcedureTrace[];
  readonly notes: readonly string[];
  readonly stepsDone: number;
  readonly durationMs: number;
  readonly cleanup: CleanupReport;
}

export interface ProcedureRun {
  readonly state: RunState;
  /** Pause before the next step. False when the run is past pausing. */
  pause(): boolean;
  /** Go on after a pause, or take a pause back that has not come yet. False when there is none. */
  resume(): boolean;
  /** Stop now; the carriage is halted. False when the run is already ending. During the clean-up it halts that too. */
  stop(reason: string): boolean;
  /** Resolves when the rig has been left safe. Never rejects. */
  readonly done: Promise<RunResult>;
}
