import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';
import { ToolFailedError } from './errors.ts';
import { runTool } from './tool.ts';

/** Something the window needs from a Linux system, and the Debian packages that bring it (first that exists wins). */
interface Need {
  readonly name: string;
  readonly kind: 'library' | 'program';
  readonly packages: readonly string[];
}

// Libraries are asked for by name, not by package: the same answer then holds on every distribution.
const needs: readonly Need[] = [
  { name: 'Xvfb', kind: 'program', packages: ['xvfb'] },
  { name: 'xauth', kind: 'program', packages: ['xauth'] },
  { name: 'libgtk-3.so.0', kind: 'library', packages: ['libgtk-3-0t64', 'libgtk-3-0'] },
  { name: 'libnss3.so', kind: 'library', packages: ['libnss3'] },
  { name: 'libasound.so.2', kind: 'library', packages: ['libasound2t64', 'libasound2'] },
  { name: 'libgbm.so.1', kind: 'library', packages: ['libgbm1'] },
  { name: 'libXss.so.1', kind: 'library', packages: ['libxss1'] },
];

function isOnPath(program: string, path: string): boolean {
  return path.split(delimiter).some((folder) => {
    try {
      accessSync(join(folder, program), constants.X_OK);
      return true;
    } catch {
      return false;
    }
  });
}

/** Names of the shared libraries that the dynamic linker knows. */
async function knownLibraries(): Promise<ReadonlySet<string>> {
  const printed = await runTool('/sbin/ldconfig', ['-p']);
  return new Set(printed.split('\n').map((line) => line.trim().split(' ')[0] ?? ''));
}

/** What is missing of the needs of the window and its tests; empty when nothing is. */
export async function missingNeeds(path: string = process.env.PATH ?? ''): Promise<readonly Need[]> {
  const libraries = await knownLibraries();
  return needs.filter((need) => (need.kind === 'library' ? !libraries.has(need.name) : !isOnPath(need.name, path)));
}

/** Libraries that `executable` asks for and the system does not have, as the dynamic linker says. */
export async function unresolvedLibraries(executable: string): Promise<readonly string[]> {
  const printed = await runTool('ldd', [executable]);
  return printed
    .split('\n')
    .filter((line) => line.endsWith('=> not found'))
    .map((line) => line.trim().split(' ')[0] ?? '');
}

/** The Debian packages for the missing needs, by the names this release gives them. */
export async function debianPackages(missing: readonly Need[]): Promise<readonly string[]> {
  const candidates = missing.flatMap((need) => need.packages);
  let printed = '';
  try {
    printed = await runTool('apt-cache', ['--names-only', 'search', `^(${candidates.join('|')})$`]);
  } catch (cause) {
    if (!(cause instanceof ToolFailedError)) throw cause;
    // The usual names then still make a line that a person can run.
  }
  const known = new Set(printed.split('\n').map((line) => line.split(' ')[0] ?? ''));
  return missing.map((need) => need.packages.find((name) => known.has(name)) ?? need.packages.at(-1) ?? need.name);
}
