import type { RunState } from './run-state.ts';
import type { Step } from './steps.ts';

export interface RunProgress {
  readonly state: RunState;
  /** Steps of the plan that are finished, 0..stepCount. */
  readonly stepIndex: number;
  readonly stepCount: number;
  /** What is being done now, in words. */
  readonly doing: string;
  /** 0..1 by expected time. Never falls. */
  readonly fraction: number;
  readonly timeLeftMs: number;
}

/** Keeps count of a plan. Pure: the time comes with each call. */
export interface ProgressMeter {
  start(step: Step, planIndex: number | null, nowMs: number): void;
  finish(nowMs: number): void;
  snapshot(state: RunState, nowMs: number): RunProgress;
}

/**
 * Expected time stands for this many ms of experience before what the run itself shows bends the estimate: a slow
 * first step must not make the time left jump.
 */
const priorMs = 10_000;

export function createProgressMeter(plan: readonly Step[]): ProgressMeter {
  const total = plan.reduce((sum, step) => sum + step.expectedUs, 0) / 1000;
  let finished = 0;
  let expectedDoneMs = 0;
  let takenMs = 0;
  let doing = '';
  let current: { readonly expectedMs: number; readonly sinceMs: number } | null = null;

  return {
    start(step, planIndex, nowMs) {
      doing = step.label;
      current = planIndex === null ? null : { expectedMs: step.expectedUs / 1000, sinceMs: nowMs };
    },
    finish(nowMs) {
      if (current === null) return;
      finished += 1;
      expectedDoneMs += current.expectedMs;
      takenMs += Math.max(0, nowMs - current.sinceMs);
      current = null;
    },
    snapshot(state, nowMs) {
      const pace = (priorMs + takenMs) / (priorMs + expectedDoneMs);
      const intoStepMs = current === null ? 0 : Math.max(0, nowMs - current.sinceMs);
      const stepDoneMs = current === null ? 0 : Math.min(current.expectedMs, intoStepMs / pace);
      // Sums of durations may miss the total by a rounding; the last step does not.
      const doneMs = finished >= plan.length ? total : Math.min(total, expectedDoneMs + stepDoneMs);
      return {
        state,
        stepIndex: finished,
        stepCount: plan.length,
        doing,
        fraction: total > 0 ? doneMs / total : finished >= plan.length ? 1 : 0,
        timeLeftMs: (total - doneMs) * pace,
      };
    },
  };
}
