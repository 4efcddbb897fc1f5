/**
 * Runs a procedure on a port: one step at a time, with progress, pause at step boundaries, stop at any moment, and an
 * outcome that is `completed` only when every step was.
 */
import { cleanUp, messageOf, nothingToClean } from './cleanup.ts';
import {
  InterlockOpenError,
  OperatorDeclinedError,
  PlanRefusedError,
  ProcedureError,
  RigNotReadyError,
  StopRequestedError,
} from './errors.ts';
import { type AskOperator, performStep, type RunHarvest } from './perform.ts';
import { checkPlan, checkStep } from './plan-check.ts';
import { openInterlocks } from './point-check.ts';
import { createProgressMeter } from './progress.ts';
import type { RigPort } from './rig-port.ts';
import { troubleOf } from './rig-trouble.ts';
import { keepRunState } from './run-state.ts';
import type { ProcedureRun, RunOptions, RunResult } from './run-types.ts';
import { movesCarriage, type Procedure, type Step, type StepGenerator } from './steps.ts';

/** Starts at once. The carriage moves only after the whole plan was checked against the rig's limits. */
export function runProcedure(procedure: Procedure, port: RigPort, options: RunOptions): ProcedureRun {
  const { nowMs } = options;
  const meter = createProgressMeter(procedure.plan);
  /** A listener that fails must neither end the run nor go unnoticed. */
  const shield = (what: string, call: () => void): void => {
    try {
      call();
    } catch (error) {
      harvest.notes.push(`Showing the ${what} failed: ${messageOf(error)}`);
    }
  };
  const tell = (): void => shield('progress', () => options.onProgress?.(meter.snapshot(state.current, nowMs())));
  const state = keepRunState(() => tell());
  const harvest: RunHarvest = { readings: [], traces: [], notes: [] };
  const ending = new AbortController();
  const cleaning = new AbortController();
  const aborted = whenAborted(ending.signal);
  aborted.catch(() => {});
  let wake: (() => void) | null = null;
  let interlocksReadMs = Number.NEGATIVE_INFINITY;
  let stepsDone = 0;
  let pausedAtStep = false;
  let hasMoved = false;

  /** The first cause wins; later ones are its consequences. */
  const end = (cause: Error): void => {
    if (!ending.signal.aborted) ending.abort(cause);
    wake?.();
  };
  const requestStop = (reason: string): void => end(new StopRequestedError(reason));

  const freeOfEvents = port.onEvent((event) => {
    const trouble = troubleOf(event);
    if (trouble === null) {
      if (event.kind === 'interlocks') interlocksReadMs = nowMs();
      return;
    }
    // Nothing moves in a pause, so opening the guard then is no accident: it is looked at on going on.
    if (state.current === 'paused' && event.kind === 'interlocks' && event.interlocks.clampClosed) {
      interlocksReadMs = Number.NEGATIVE_INFINITY;
      return;
    }
    // Before the first motion the operator is still clamping and closing: the procedure asks for what is open.
    if (!hasMoved && event.kind === 'interlocks') {
      interlocksReadMs = Number.NEGATIVE_INFINITY;
      return;
    }
    end(trouble);
  });
  const onOuterAbort = (): void => requestStop('The run was called off.');
  options.signal?.addEventListener('abort', onOuterAbort);

  /** Performs a step, but does not wait for a port that no longer answers once the run is ending. */
  async function perform(step: Step) {
    const ask: AskOperator = (question, signal) => {
      if (options.ask === undefined) throw new OperatorDeclinedError(`${question} Nobody was there to be asked.`);
      return options.ask(question, signal);
    };
    const work = performStep(step, port, harvest, ask, ending.signal);
    work.catch(() => {});
    return Promise.race([work, aborted]);
  }

  async function interlocksBefore(step: Step): Promise<void> {
    // Before the first motion there is no position to lose, and the procedure itself asks for what is open.
    if (!hasMoved) pausedAtStep = false;
    const isFresh = nowMs() - interlocksReadMs <= (options.interlockFreshMs ?? 1000);
    if (!pausedAtStep && (isFresh || !movesCarriage(step))) return;
    const result = await perform({ kind: 'status', label: step.label, expectedUs: 0 });
    if (result.kind !== 'status') return;
    interlocksReadMs = nowMs();
    const open = openInterlocks(result.status.interlocks);
    if (open !== null) throw new InterlockOpenError(`${open} The run ended where it stood.`);
    const isReady = step.kind === 'home' || result.status.motion === 'still';
    if (pausedAtStep && !isReady) {
      throw new RigNotReadyError(
        `The rig lost its position during the pause (${result.status.motion}). Measure again.`,
      );
    }
    pausedAtStep = false;
  }

  async function waitWhilePaused(): Promise<void> {
    if (state.current !== 'pausing') return;
    state.change('paused');
    await new Promise<void>((resolve) => {
      wake = resolve;
      if (ending.signal.aborted) resolve();
    });
    wake = null;
    if (ending.signal.aborted) throw ending.signal.reason;
    pausedAtStep = true;
    interlocksReadMs = Number.NEGATIVE_INFINITY;
  }

  async function walk(generator: StepGenerator): Promise<void> {
    let next = generator.next();
    while (!next.done) {
      const step = next.value;
      await waitWhilePaused();
      if (ending.signal.aborted) throw ending.signal.reason;
      const isPlanned = procedure.plan.includes(step);
      const problem = checkStep(step, port.limits)[0];
      if (problem !== undefined) throw new PlanRefusedError(`${step.label}: ${problem.sentence}`);
      await interlocksBefore(step);
      hasMoved ||= movesCarriage(step);
      meter.start(step, isPlanned ? stepsDone : null, nowMs());
      tell();
      const before = harvest.readings.length;
      const result = await perform(step);
      if (ending.signal.aborted) throw ending.signal.reason;
      if (result.kind === 'status') interlocksReadMs = nowMs();
      meter.finish(nowMs());
      if (isPlanned) stepsDone += 1;
      tell();
      for (const reading of harvest.readings.slice(before)) shield('reading', () => options.onReading?.(reading));
      next = generator.next(result);
    }
    // A pause asked for during the last step has nothing left to hold.
    if (stepsDone < procedure.plan.length) {
      throw new PlanRefusedError(`The procedure ended after ${stepsDone} of ${procedure.plan.length} steps.`);
    }
  }

  async function run(): Promise<RunResult> {
    const startedMs = nowMs();
    state.change('running');
    let failure: unknown = null;
    let touched = false;
    const generator = procedure.steps();
    try {
      const problem = checkPlan(procedure.plan, port.limits)[0];
      if (problem !== undefined) throw new PlanRefusedError(`${problem.label}: ${problem.sentence}`);
      if (options.signal?.aborted) onOuterAbort();
      if (ending.signal.aborted) throw ending.signal.reason;
      touched = true;
      await walk(generator);
    } catch (error) {
      // A port that was cancelled by us reports that; the cause is what we cancelled it for.
      failure = ending.signal.aborted ? ending.signal.reason : error;
    } finally {
      generator.return();
    }
    freeOfEvents();
    options.signal?.removeEventListener('abort', onOuterAbort);
    state.change('stopping');
    const why = failure === null ? null : outcomeOf(failure);
    const cleanup =
      why === null || !touched
        ? nothingToClean
        : await cleanUp(port, why.code, options.parkAfterStop ?? true, cleaning.signal);
    state.change('ended');
    return {
      outcome: why?.outcome ?? 'completed',
      reason: why?.reason ?? null,
      code: why?.code ?? null,
      readings: harvest.readings,
      traces: harvest.traces,
      notes: harvest.notes,
      stepsDone,
      durationMs: nowMs() - startedMs,
      cleanup,
    };
  }

  return {
    get state() {
      return state.current;
    },
    pause() {
      if (state.current !== 'running') return false;
      state.change('pausing');
      return true;
    },
    resume() {
      if (state.current !== 'pausing' && state.current !== 'paused') return false;
      state.change('running');
      wake?.();
      return true;
    },
    stop(reason) {
      if (state.current === 'ended') return false;
      if (state.current === 'stopping') {
        cleaning.abort(new StopRequestedError(reason));
        return false;
      }
      if (ending.signal.aborted) return false;
      requestStop(reason);
      return true;
    },
    done: run(),
  };
}

function outcomeOf(failure: unknown): { outcome: 'stopped' | 'void'; reason: string; code: string } {
  const code = codeOf(failure);
  const outcome =
    failure instanceof StopRequestedError || failure instanceof OperatorDeclinedError ? 'stopped' : 'void';
  return { outcome, reason: messageOf(failure), code };
}

/** Errors of the port and of this room carry a code; anything else is a defect, and said to be one. */
function codeOf(failure: unknown): string {
  if (failure instanceof ProcedureError) return failure.code;
  if (failure instanceof Error && 'code' in failure && typeof failure.code === 'string') return failure.code;
  return 'unexpected';
}

function whenAborted(signal: AbortSignal): Promise<never> {
  return new Promise((_, reject) => {
    if (signal.aborted) reject(signal.reason);
    else signal.addEventListener('abort', () => reject(signal.reason), { once: true });
  });
}
