/** Turns one step into calls of the port. */
import type { RawReading, RawSample, RigPort } from './rig-port.ts';
import { asReading, type ProcedureReading, type ProcedureTrace, type Step, type StepResult } from './steps.ts';

/** Where the engine keeps what a run yields; filled as it comes, so that a broken run keeps what it had. */
export interface RunHarvest {
  readonly readings: ProcedureReading[];
  readonly traces: ProcedureTrace[];
  readonly notes: string[];
}

export type AskOperator = (question: string, signal: AbortSignal) => Promise<boolean>;

/**
 * Performs a step; rejects with what the port rejects with. Readings and traces go into the harvest when they are whole:
 * a glide that broke off leaves no trace, for its track channel was never told.
 */
export async function performStep(
  step: Step,
  port: RigPort,
  harvest: RunHarvest,
  ask: AskOperator,
  signal: AbortSignal,
): Promise<StepResult> {
  switch (step.kind) {
    case 'status':
      return { kind: 'status', status: await port.status(signal) };
    case 'power':
      await port.power(step.on, signal);
      return { kind: 'done' };
    case 'home':
      await port.home(signal);
      return { kind: 'done' };
    case 'park':
      await port.park(signal);
      return { kind: 'done' };
    case 'move': {
      const meter = { integrationUs: port.limits.integrationMinUs, conversions: 1 };
      await port.visit({ ...step.order, ...meter, approach: step.approach, dwellUs: 0 }, signal);
      return { kind: 'done' };
    }
    case 'visit':
      return keep(step, await port.visit(step.order, signal), harvest);
    case 'sense':
      return keep(step, await port.sense(step.order, signal), harvest);
    case 'ohms':
      return keep(step, await port.ohms(step.order, signal), harvest);
    case 'glide':
      return performGlide(step, port, harvest, signal);
    case 'ask':
      return { kind: 'answer', goOn: await ask(step.question, signal) };
    case 'note':
      harvest.notes.push(step.text);
      return { kind: 'done' };
  }
}

function keep(step: Step, reading: RawReading, harvest: RunHarvest): StepResult {
  const result: StepResult = { kind: 'reading', reading };
  const kept = asReading(step, result, harvest.readings.length);
  if (kept !== null) harvest.readings.push(kept);
  return result;
}

async function performGlide(
  step: Extract<Step, { kind: 'glide' }>,
  port: RigPort,
  harvest: RunHarvest,
  signal: AbortSignal,
): Promise<StepResult> {
  const samples: RawSample[] = [];
  const result = await port.glide(step.order, (batch) => samples.push(...batch), signal);
  harvest.traces.push({
    purpose: step.purpose,
    samplePeriodUs: step.order.samplePeriodUs,
    trackCounts: result.trackCounts,
    samplesSent: result.samplesSent,
    samples,
  });
  return { kind: 'glide', result, samples };
}
