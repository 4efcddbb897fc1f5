/** One build at a time: two programs started together must not write the same bundle. */
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // It may belong to somebody else, and then it lives.
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

function take(path: string): boolean {
  try {
    writeFileSync(path, String(process.pid), { flag: 'wx' });
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
  }
  let holder = Number.NaN;
  try {
    holder = Number.parseInt(readFileSync(path, 'utf8'), 10);
  } catch (error) {
    // Given back between the two looks.
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
  }
  // Left behind by a program that was killed; an empty note is one just being written.
  if (Number.isInteger(holder) && !isAlive(holder)) rmSync(path, { force: true });
  return false;
}

/** Does `work` while holding the note at `path`; waits while another living process holds it. */
export async function inTurn<T>(path: string, work: () => Promise<T>): Promise<T> {
  mkdirSync(dirname(path), { recursive: true });
  while (!take(path)) await wait(50);
  try {
    return await work();
  } finally {
    rmSync(path, { force: true });
  }
}
