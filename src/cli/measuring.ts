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
  prefix = '',
): Promise<Measured> {
  const stopListening = client.onEvent((event) => {
    if (event.kind !== 'snapshot' || event.snapshot.run === null) return;
    const { fraction, doing, timeLeftMs } = event.snapshot.run;
    terminal.progress(`${prefix}${bar(fraction)} ${request.serial}  ${spokenTime(timeLeftMs)} left  ${doing}`);
  });
  try {
    const { runId, attempt } = await client.call('run.start', request);
    const { summary, nextStep } = await client.call('run.wait', { runId });
    return { summary, nextStep, attempt };
  } finally {
    stopListening();
    terminal.endProgress();
  }
}

export function exitCodeOf(verdict: RunSummary['verdict']): number {
  if (verdict === 'pass') return exitCodes.done;
  return verdict === 'void' ? exitCodes.void : exitCodes.notPass;
}

/** Ctrl-C stops the carriage and records the run as stopped; a second one ends the program at once. */
export function stopOnInterrupt(
  client: CoreClient,
  terminal: Terminal,
): { readonly interrupted: () => boolean; off(): void } {
  let count = 0;
  const onSignal = (): void => {
    count += 1;
    if (count > 1) process.exit(exitCodes.interrupted);
    terminal.print('Stopping the carriage ... (this is not an emergency stop; Ctrl-C again leaves at once)');
    // Nothing in motion is a fine reason for a refused stop; anything else shows in the run's own end.
    client.call('run.stop', {}).catch(() => {});
  };
  process.on('SIGINT', onSignal);
  process.on('SIGTERM', onSignal);
  return {
    interrupted: () => count > 0,
    off() {
      process.off('SIGINT', onSignal);
      process.off('SIGTERM', onSignal);
    },
  };
}
