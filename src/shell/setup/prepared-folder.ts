import { existsSync } from 'node:fs';
import { mkdir, readdir, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (cause) {
    return (cause as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/** Removes what makers that no longer run have left beside `folder`. */
async function sweepLeftovers(folder: string): Promise<void> {
  const prefix = `${basename(folder)}.making-`;
  for (const name of await readdir(dirname(folder))) {
    if (!name.startsWith(prefix)) continue;
    const pid = Number.parseInt(name.slice(prefix.length), 10);
    if (!Number.isInteger(pid) || !isAlive(pid))
      await rm(join(dirname(folder), name), { recursive: true, force: true });
  }
}

/**
 * Makes `folder` so that it is either whole or absent: `make` fills a folder beside it, which is renamed when done.
 * When two makers race, the first one's folder stays. An existing folder that `isWhole` refuses is replaced.
 */
export async function prepareFolder(
  folder: string,
  isWhole: (folder: string) => boolean,
  make: (folder: string) => Promise<void>,
): Promise<void> {
  if (isWhole(folder)) return;
  await mkdir(dirname(folder), { recursive: true });
  await sweepLeftovers(folder);
  const beside = `${folder}.making-${process.pid}`;
  await rm(beside, { recursive: true, force: true });
  await mkdir(beside);
  try {
    await make(beside);
    if (isWhole(folder)) return;
    if (existsSync(folder)) {
      const old = `${folder}.making-${process.pid}-old`;
      await rename(folder, old);
      await rm(old, { recursive: true, force: true });
    }
    try {
      await rename(beside, folder);
    } catch (cause) {
      if (!isWhole(folder)) throw cause;
    }
  } finally {
    await rm(beside, { recursive: true, force: true });
  }
}
