/** Runs one command against a core of its own, and turns whatever goes wrong into words and an exit code. */
import { toErrorData } from '../contract/errors.ts';
import { launchCore, type RunningCore } from '../core/launch.ts';
import { programVersion } from '../core/version.ts';
import { exitCodeFor, exitCodes } from './exit-codes.ts';
import type { Terminal } from './terminal.ts';

/** Wrong use of the command line: says what is wrong and what would be right. */
export class UsageError extends Error {
  readonly code = 'usage';
  readonly userFixable = true;
  override readonly name = 'UsageError';
}

export interface CoreWish {
  /** True for words that only look: a mistyped --archive is then refused instead of answered from a new, empty one. */
  readonly mustExist?: boolean;
  /** True for words that neither measure nor connect: they work while a station does, e.g. the window. */
  readonly beside?: boolean;
}

/** Words that look at results. */
export const looksOnly: CoreWish = { mustExist: true, beside: true };

export async function withCore(
  archivePath: string,
  terminal: Terminal,
  work: (core: RunningCore) => Promise<number>,
  { mustExist = false, beside = false }: CoreWish = {},
): Promise<number> {
  const core = launchCore({ archivePath, mustExist, beside });
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
  const code = exitCodeFor(data.code);
  terminal.complain(data);
  if (code === exitCodes.defect) terminal.tell(defectNote(error));
  return code;
}

function defectNote(error: unknown): string {
  const trail = error instanceof Error && error.stack !== undefined ? `\n${error.stack}` : '';
  const machine = `Faderwright ${programVersion}, Node ${process.versions.node}, ${process.platform} ${process.arch}`;
  return `This is a defect of the program. Please report it with the words of the command and these lines:\n${machine}${trail}`;
}
