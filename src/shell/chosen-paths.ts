/**
 * Files that a person chose in a dialog. Only these may be written or shown at the window's wish, so that a page gone wrong
 * cannot name a file of its own.
 */
import { resolve } from 'node:path';
import type { CommandName } from '../contract/commands.ts';

export class PathNotChosenError extends Error {
  readonly code = 'file.notChosen';
  readonly userFixable = true;
  override readonly name = 'PathNotChosenError';

  constructor(path: string) {
    super(`${path} was not chosen in a dialog of this program, so nothing was done with it. Choose the file again.`);
  }
}

export interface ChosenPaths {
  /** Remembered until the program ends. */
  choose(path: string): void;
  /** @throws PathNotChosenError */
  mustBeChosen(path: string): void;
}

export function chosenPaths(known: readonly string[]): ChosenPaths {
  const chosen = new Set(known.map((path) => resolve(path)));
  return {
    choose: (path) => void chosen.add(resolve(path)),
    mustBeChosen(path) {
      if (!chosen.has(resolve(path))) throw new PathNotChosenError(path);
    },
  };
}

const writing: ReadonlySet<CommandName> = new Set<CommandName>([
  'export.write',
  'report.write',
  'archive.backup',
  'law.write',
]);

/** Checks every file that a core command would touch. @throws PathNotChosenError */
export function checkPaths(name: CommandName, input: object, paths: ChosenPaths): void {
  if (writing.has(name) && 'path' in input) paths.mustBeChosen(String(input.path));
  if ('parametersFile' in input && input.parametersFile !== undefined) paths.mustBeChosen(String(input.parametersFile));
}
