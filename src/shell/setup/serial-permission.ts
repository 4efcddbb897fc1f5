import { accessSync, constants, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';

/** How this user stands to the serial ports of a Linux system. */
export interface SerialPermission {
  /** Whether a rig on a USB serial port could be opened now. */
  readonly isGranted: boolean;
  /** The group that owns serial ports here (`dialout` on Debian, `uucp` elsewhere); `null` when neither exists. */
  readonly group: string | null;
  /** Ports that are there but refuse this user. */
  readonly refusedPorts: readonly string[];
}

interface Group {
  readonly name: string;
  readonly id: number;
  readonly members: readonly string[];
}

function readGroups(file: string): readonly Group[] {
  return readFileSync(file, 'utf8')
    .split('\n')
    .map((line) => line.split(':'))
    .filter((fields) => fields.length >= 4)
    .map(([name, , id, members]) => ({
      name: name ?? '',
      id: Number.parseInt(id ?? '', 10),
      members: (members ?? '').split(',').filter((member) => member !== ''),
    }));
}

function mayOpen(port: string): boolean {
  try {
    accessSync(port, constants.R_OK | constants.W_OK);
    return true;
  } catch {
    return false;
  }
}

/** Looks at the USB serial ports that are plugged in, and at the group that will own the next one. */
export function serialPermission(
  system: { readonly deviceFolder?: string; readonly groupFile?: string; readonly groupIds?: readonly number[] } = {},
): SerialPermission {
  const deviceFolder = system.deviceFolder ?? '/dev';
  const groups = readGroups(system.groupFile ?? '/etc/group');
  const ownIds = system.groupIds ?? process.getgroups?.() ?? [];
  const ports = readdirSync(deviceFolder)
    .filter((name) => /^tty(USB|ACM)\d+$/.test(name))
    .map((name) => join(deviceFolder, name));
  const refusedPorts = ports.filter((port) => !mayOpen(port));
  const owner = refusedPorts[0] === undefined ? undefined : statSync(refusedPorts[0]).gid;
  const group =
    groups.find((candidate) => candidate.id === owner) ??
    groups.find((candidate) => candidate.name === 'dialout') ??
    groups.find((candidate) => candidate.name === 'uucp');
  const isMember = group !== undefined && ownIds.includes(group.id);
  const isRoot = process.getuid?.() === 0 && system.groupIds === undefined;
  const isGranted = refusedPorts.length === 0 && (isRoot || isMember || ports.length > 0);
  return { isGranted, group: group?.name ?? null, refusedPorts };
}
