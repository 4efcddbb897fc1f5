import type { RigOptions } from './options.ts';
import type { ServedRig } from './serve-pty.ts';
import type { SideDoor } from './side-door.ts';

/** The side door over a channel between processes: every call becomes a promise. */
export type RemoteSideDoor = {
  readonly [Name in keyof SideDoor]: (...args: Parameters<SideDoor[Name]>) => Promise<ReturnType<SideDoor[Name]>>;
};

export const sideDoorCalls = [
  'load',
  'unload',
  'next',
  'serialOf',
  'serials',
  'setGuard',
  'setEmergencyStop',
  'setClamp',
  'fitDivider',
  'setAutoNext',
  'setStationFault',
  'setDisturbance',
  'unplug',
  'plug',
  'restart',
  'certificate',
  'applyCuts',
  'startCutting',
  'stopCutting',
  'truth',
  'moment',
  'executions',
] as const satisfies readonly (keyof SideDoor)[];

export type SideDoorCall = (typeof sideDoorCalls)[number];

/** Parent to rig process. `start` comes first and once. */
export type RigRequest =
  | { readonly id: number; readonly do: 'start'; readonly options: RigOptions }
  | { readonly id: number; readonly do: 'call'; readonly name: string; readonly args: readonly unknown[] };

export interface RigFault {
  readonly code: string;
  readonly message: string;
  readonly userFixable: boolean;
}

/** Rig process to parent. */
export type RigReply =
  | { readonly id: number; readonly ok: true; readonly result: unknown }
  | { readonly id: number; readonly ok: false; readonly error: RigFault };

export function isSideDoorCall(name: string): name is SideDoorCall {
  return sideDoorCalls.some((call) => call === name);
}

/** Carries out one call; plugging is waited for, so that the port is there or gone when the reply comes. */
export async function callSideDoor(rig: ServedRig, name: string, args: readonly unknown[]): Promise<unknown> {
  if (!isSideDoorCall(name)) throw new RangeError(`the side door has no ${name}`);
  const call = rig.host[name] as (this: SideDoor, ...values: readonly unknown[]) => unknown;
  const result = call.apply(rig.host, [...args]);
  await rig.settled();
  return result;
}

/** What crosses the channel in place of an error. */
export function faultOf(error: unknown): RigFault {
  if (!(error instanceof Error)) return { code: 'defect', message: String(error), userFixable: false };
  const code = 'code' in error && typeof error.code === 'string' ? error.code : 'defect';
  return { code, message: error.message, userFixable: 'userFixable' in error && error.userFixable === true };
}
