/** The program's processes as the system sees them (Linux): for tests that kill one, and for those that count what is left. */
import { readdir, readFile } from 'node:fs/promises';

interface SeenProcess {
  readonly pid: number;
  readonly parent: number;
  readonly command: string;
}

async function seen(): Promise<SeenProcess[]> {
  const found: SeenProcess[] = [];
  for (const name of await readdir('/proc')) {
    const pid = Number(name);
    if (!Number.isInteger(pid)) continue;
    try {
      const command = (await readFile(`/proc/${name}/cmdline`, 'utf8')).replaceAll('\0', ' ').trim();
      // After the name in brackets: state, then the parent.
      const [state, parent] = (await readFile(`/proc/${name}/stat`, 'utf8')).split(') ').at(-1)?.split(' ') ?? [];
      // A zombie runs no more; it only waits to be counted by its parent.
      if (state !== 'Z') found.push({ pid, parent: Number(parent), command });
    } catch {
      // It ended while it was looked at.
    }
  }
  return found;
}

/** The core that works on this archive. */
export async function corePid(archivePath: string): Promise<number> {
  const core = (await seen()).find(({ command }) => command.endsWith(`--archive ${archivePath}`));
  if (core === undefined) throw new Error(`No core works on ${archivePath}.`);
  return core.pid;
}

/** This process and everything it started. */
export async function familyOf(pid: number): Promise<number[]> {
  const all = await seen();
  const family = [pid];
  for (const member of family) {
    family.push(...all.filter(({ parent }) => parent === member).map((child) => child.pid));
  }
  return family;
}

/** Those of the processes that still run. */
export async function stillRunning(pids: readonly number[]): Promise<number[]> {
  const running = new Set((await seen()).map(({ pid }) => pid));
  return pids.filter((pid) => running.has(pid));
}
