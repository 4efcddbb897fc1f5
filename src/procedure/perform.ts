/** Turns one step into calls of the port. */
import type { MeterOrder, RawReading, RawSample, RigPort } from './rig-port.ts';
import type { ProcedureReading, ProcedureTrace, ReadingDirection, ReadingTag, Step, StepResult } from './steps.ts';

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
    case 'visit': {
      const reading = await port.visit(step.order, signal);
      return keep(reading, step.order, step.tag, step.order.approach, harvest);
    }
    case 'sense':
      return keep(await port.sense(step.order, signal), step.order, step.tag, 'still', harvest);
    case 'ohms':
      return keep(await port.ohms(step.order, signal), step.order, step.tag, 'still', harvest);
    case 'glide':
      return performGlide(step, port, harvest, signal);
    case 'ask':
      return { kind: 'answer', goOn: await ask(step.question, signal) };
    case 'note':
      harvest.notes.push(step.text);
      return { kind: 'done' };
  }
}

function keep(
  reading: RawReading,
  order: MeterOrder,
  tag: ReadingTag,
  direction: ReadingDirection,
  harvest: RunHarvest,
): StepResult {
  harvest.readings.push({
    sequence: harvest.readings.length,
    ...tag,
    direction,
    positionUm: reading.positionUm,
    rigClockUs: reading.rigClockUs,
    integrationUs: order.integrationUs,
    conversions: reading.conversions,
    wiperCounts: reading.wiperCounts,
    wiperSdCounts: reading.wiperSdCounts,
    trackCounts: reading.trackCounts,
    overRange: reading.overRange,
  });
  return { kind: 'reading', reading };
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
