import { readdir, readlink, symlink, unlink } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

let count = 0;

/** A path that stays the same when the rig is pulled and plugged in again; the device behind it changes. */
export function stablePortPath(serial: string): string {
  return join(tmpdir(), `faderwright-rig-${serial}-${process.pid}-${++count}`);
}

/** Points `path` to the device. */
export async function linkPort(path: string, devicePath: string): Promise<void> {
  await unlinkPort(path);
  await symlink(devicePath, path);
}

/** Removes `path`, but only if it is a link. */
export async function unlinkPort(path: string): Promise<void> {
  try {
    await readlink(path);
    await unlink(path);
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'ENOENT')) throw error;
  }
}

/** Removes the names of rigs whose process was killed: a device they lead to may be another rig's by now. */
export async function sweepPortNames(folder = tmpdir()): Promise<void> {
  const names = await readdir(folder).catch(() => []);
  for (const name of names) {
    const pid = /^faderwright-rig-.+-(\d+)-\d+$/.exec(name)?.[1];
    // A name of another user cannot be removed, and hinders nobody.
    if (pid !== undefined && !isAlive(Number(pid))) await unlinkPort(join(folder, name)).catch(() => {});
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // Anything but "no such process" means that there is one.
    return !(error instanceof Error && 'code' in error && error.code === 'ESRCH');
  }
}
