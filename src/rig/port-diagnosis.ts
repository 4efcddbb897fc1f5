import { constants } from 'node:fs';
import { access, readdir, readFile, readlink, realpath, stat } from 'node:fs/promises';
import { userInfo } from 'node:os';
import { PortBusyError, PortMissingError, PortPermissionError, PortUnusableError, type RigError } from './errors.ts';

/**
 * Says why a port cannot be opened, before trying: missing or forbidden. Null when nothing stands against it.
 * Windows tells neither in advance, there the failure of the opening itself is read.
 */
export async function diagnosePort(path: string): Promise<RigError | null> {
  if (process.platform === 'win32') return null;
  const state = await stat(path).catch(() => null);
  if (state === null) return new PortMissingError(path);
  const mayUse = await access(path, constants.R_OK | constants.W_OK).then(
    () => true,
    () => false,
  );
  if (mayUse) return null;
  const group = await groupName(state.gid);
  return new PortPermissionError(path, permissionAdvice(group, currentUser(), state.mode));
}

/**
 * The remedy for a forbidden port: membership of its group, when the group may read and write and is not root's
 * own (joining that would grant far more than a port).
 */
export function permissionAdvice(
  group: string | null,
  user: string,
  mode: number,
): { readonly group: string | null; readonly command: string | null } {
  const groupMayUse = (mode & 0o060) === 0o060;
  if (process.platform !== 'linux' || group === null || group === 'root' || !groupMayUse) {
    return { group: null, command: null };
  }
  return { group, command: `sudo usermod -aG ${group} ${user}` };
}

/** Turns the failure of an opening into a typed error. The serial library gives a text only, no code. */
export async function explainOpenFailure(path: string, cause: unknown): Promise<RigError> {
  const known = await diagnosePort(path);
  if (known !== null) return known;
  const text = cause instanceof Error ? cause.message : String(cause);
  const isBusy = /lock|busy|temporarily unavailable|access denied/i.test(text);
  if (isBusy) return new PortBusyError(path, await portHolder(path), { cause });
  const isMissing = /no such file|file not found|no such device/i.test(text);
  if (isMissing) return new PortMissingError(path, { cause });
  return new PortUnusableError(path, cause);
}

/**
 * Names the process that holds a port (Linux): the one with the lock on it, else one that has it open as far as this
 * user may see.
 */
export async function portHolder(path: string): Promise<string | null> {
  if (process.platform !== 'linux') return null;
  const pid = (await lockHolder(path)) ?? (await openHolder(path));
  if (pid === null) return null;
  if (Number(pid) === process.pid) return 'this program itself';
  const name = await readFile(`/proc/${pid}/comm`, 'utf8').catch(() => '');
  return `process ${pid} (${name.trim() || 'unknown'})`;
}

/** The kernel lists locks as `1: FLOCK ADVISORY WRITE <pid> <major>:<minor>:<inode> ...`, device numbers in hex. */
async function lockHolder(path: string): Promise<string | null> {
  const device = await stat(path).catch(() => null);
  if (device === null) return null;
  const hex = (value: number): string => value.toString(16).padStart(2, '0');
  const file = `${hex((device.dev >> 8) & 0xfff)}:${hex(device.dev & 0xff)}:${device.ino}`;
  const locks = await readFile('/proc/locks', 'utf8').catch(() => '');
  for (const lock of locks.split('\n')) {
    const [, kind, , , pid, where] = lock.trim().split(/\s+/);
    if (kind === 'FLOCK' && where === file && pid !== undefined) return pid;
  }
  return null;
}

async function openHolder(path: string): Promise<string | null> {
  const target = await realpath(path).catch(() => path);
  for (const pid of await readdir('/proc').catch(() => [])) {
    if (/^\d+$/.test(pid) && (await hasOpen(pid, target))) return pid;
  }
  return null;
}

async function hasOpen(pid: string, target: string): Promise<boolean> {
  // A process of another user, or one that has just ended, shows no descriptors: then it is not named.
  const descriptors = await readdir(`/proc/${pid}/fd`).catch(() => []);
  for (const descriptor of descriptors) {
    const open = await readlink(`/proc/${pid}/fd/${descriptor}`).catch(() => null);
    if (open === target) return true;
  }
  return false;
}

async function groupName(gid: number): Promise<string | null> {
  const lines = await readFile('/etc/group', 'utf8').catch(() => '');
  for (const line of lines.split('\n')) {
    const [name, , id] = line.split(':');
    if (name && id === String(gid)) return name;
  }
  return null;
}

function currentUser(): string {
  try {
    return userInfo().username;
  } catch {
    // A numeric user without an entry in the user list: the shell knows the name, if there is one.
    return '$USER';
  }
}
