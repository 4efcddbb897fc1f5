/** Memory that a program and everything it started really take, read from Linux's own books. */
import { readdirSync, readFileSync } from 'node:fs';

export interface ProcessMemory {
  readonly pid: number;
  readonly command: string;
  readonly mb: number;
}

/**
 * Every process of the tree under `rootPid` with its proportional share (PSS): memory that several of them map is counted
 * once. @throws Error where there is no /proc
 */
export function memoryOfTree(rootPid: number): readonly ProcessMemory[] {
  const parents = new Map<number, number>();
  for (const name of readdirSync('/proc')) {
    const pid = Number(name);
    const stat = Number.isInteger(pid) ? read(`/proc/${pid}/stat`) : null;
    // After the command, which may hold brackets and spaces itself: state, then the parent.
    const parent = stat === null ? null : Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1]);
    if (parent !== null) parents.set(pid, parent);
  }
  const isOurs = (pid: number): boolean => {
    for (let at: number | undefined = pid; at !== undefined && at > 0; at = parents.get(at))
      if (at === rootPid) return true;
    return false;
  };
  return [...parents.keys()].filter(isOurs).flatMap((pid) => {
    const kb = /^Pss:\s+(\d+) kB$/m.exec(read(`/proc/${pid}/smaps_rollup`) ?? '')?.[1];
    const command = (read(`/proc/${pid}/cmdline`) ?? '').split('\0').join(' ').trim();
    return kb === undefined ? [] : [{ pid, command, mb: (Number(kb) * 1024) / 1e6 }];
  });
}

/** A process that ends meanwhile has nothing to count. */
function read(path: string): string | null {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    if (error instanceof Error && 'code' in error && ['ENOENT', 'ESRCH'].includes(String(error.code))) return null;
    throw error;
  }
}
