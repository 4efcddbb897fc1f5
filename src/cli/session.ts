/** Runs one command against a core of its own, and turns whatever goes wrong into words and an exit code. */
import { toErrorData } from '../contract/errors.ts';
import { launchCore, type RunningCore } from '../core/launch.ts';
import { exitCodeFor } from './exit-codes.ts';
import type { Terminal } from './terminal.ts';

/** Wrong use of the command line: says what is wrong and what would be right. */
export class UsageError extends Error {
  readonly code = 'usage';
  readonly userFixable = true;
  override readonly name = 'UsageError';
}

export async function withCore(
  archivePath: string,
  terminal: Terminal,
  work: (core: RunningCore) => Promise<number>,
): Promise<number> {
  const core = launchCore({ archivePath });
  try {
    await core.client.ready;
    return await work(core);
  } catch (error) {
    return complain(error, terminal);
  } finally {
    await core.stop();
  }
}

/** Prints the error for a person (or as JSON) and gives the exit code that belongs to it. */
export function complain(error: unknown, terminal: Terminal): number {
  const data = toErrorData(error);
  terminal.complain(data);
  return exitCodeFor(data.code);
}
