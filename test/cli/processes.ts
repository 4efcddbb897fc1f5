/** What a process started, as the system sees it (Linux): for tests that kill one and count what is left. */
import { readdirSync, readFileSync } from 'node:fs';

interface SeenProcess {
  readonly pid: number;
  readonly parent: number;
  readonly command: string;
}

function seen(): SeenProcess[] {
  return readdirSync('/proc').flatMap((name) => {
    const pid = Number(name);
    if (!Number.isInteger(pid)) return [];
    try {
      const command = readFileSync(`/proc/${name}/cmdline`, 'utf8').replaceAll('\0', ' ').trim();
      // After the name in brackets: state, then the parent. A zombie only waits to be counted by its parent.
      const [state, parent] = readFileSync(`/proc/${name}/stat`, 'utf8').split(') ').at(-1)?.split(' ') ?? [];
      return state === 'Z' ? [] : [{ pid, parent: Number(parent), command }];
    } catch {
      // It ended while it was looked at.
      return [];
    }
  });
}

export interface Family {
  readonly core: number;
  /** Null = no virtual rig of its own. */
  readonly rig: number | null;
}

/** The core that a process started, and the rig that the core started. */
export function familyOf(pid: number): Family {
  const all = seen();
  const core = all.find(({ parent, command }) => parent === pid && command.includes('src/core/main.ts'));
  if (core === undefined) throw new Error(`Process ${pid} has no core.`);
  const rig = all.find(({ parent, command }) => parent === core.pid && command.includes('virtual-rig/main.ts'));
  return { core: core.pid, rig: rig?.pid ?? null };
}

/** Resolves when the process has ended, by itself or not; looks again and again, without a limit of its own. */
export async function ended(pid: number): Promise<void> {
  while (seen().some((one) => one.pid === pid)) await new Promise((resolve) => setTimeout(resolve, 20));
}
