/** Measures one fader through the core, with progress on the terminal and Ctrl-C as a safe stop. */

import type { CoreClient } from '../contract/client.ts';
import type { MeasureRequest } from '../contract/commands.ts';
import type { RunSummary } from '../contract/records.ts';
import { exitCodes } from './exit-codes.ts';
import { bar, spokenTime, type Terminal } from './terminal.ts';

export interface Measured {
  readonly summary: RunSummary;
  readonly nextStep: string;
  readonly attempt: number;
}

export async function measureOne(
  client: CoreClient,
  request: MeasureRequest,
  terminal: Terminal,
  { guard, prefix = '' }: { readonly guard: InterruptGuard; readonly prefix?: string },
): Promise<Measured> {
  const stopFollowing = followRun(client, request.serial, terminal, prefix);
  try {
    const { runId, attempt } = await client.call('run.start', request);
    // An interruption that came before the run did has stopped nothing yet.
    if (guard.interrupted()) await client.call('run.stop', {}).catch(() => {});
    const { summary, nextStep } = await client.call('run.wait', { runId });
    return { summary, nextStep, attempt };
  } finally {
    stopFollowing();
  }
}

/** Shows progress and questions of the run that goes on; ends with the function it gives back. */
export function followRun(client: CoreClient, serial: string, terminal: Terminal, prefix: string): () => void {
  const stopListening = client.onEvent((event) => {
    if (event.kind === 'ask') terminal.tell(`Waiting: ${event.question}`);
    if (event.kind !== 'snapshot' || event.snapshot.run === null) return;
    const { fraction, doing, timeLeftMs } = event.snapshot.run;
    terminal.progress(`${prefix}${bar(fraction)} ${serial}  ${spokenTime(timeLeftMs)} left  ${doing}`);
  });
  return () => {
    stopListening();
    terminal.endProgress();
  };
}

export function exitCodeOf(verdict: RunSummary['verdict']): number {
  if (verdict === 'pass') return exitCodes.done;
  return verdict === 'void' ? exitCodes.void : exitCodes.notPass;
}

export interface InterruptGuard {
  readonly interrupted: () => boolean;
  /** Fires at the first interruption. */
  readonly signal: AbortSignal;
  off(): void;
}

const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;
/** One key press may come twice: from the terminal, and handed on by npm or by the older Node that started this one. */
const onePressMs = 500;

/** Ctrl-C stops the carriage and records the run as stopped; a second one ends the program at once. */
export function stopOnInterrupt(client: CoreClient, terminal: Terminal): InterruptGuard {
  const first = new AbortController();
  let firstAtMs = 0;
  const onSignal = (): void => {
    if (first.signal.aborted) {
      if (performance.now() - firstAtMs > onePressMs) process.exit(exitCodes.interrupted);
      return;
    }
    firstAtMs = performance.now();
    terminal.tell('Stopping the carriage ... (this is not an emergency stop; Ctrl-C again leaves at once)');
    first.abort();
    // Nothing in motion is a fine reason for a refused stop; anything else shows in the run's own end.
    client.call('run.stop', {}).catch(() => {});
  };
  for (const signal of signals) process.on(signal, onSignal);
  return {
    interrupted: () => first.signal.aborted,
    signal: first.signal,
    off() {
      for (const signal of signals) process.off(signal, onSignal);
    },
  };
}
