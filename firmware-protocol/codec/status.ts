/** State of the rig on the wire: the answer of beat, halt, power, home, park and creep. */
import { WireFieldsError } from './errors.ts';
import { modulo32, need } from './reading.ts';

/**
 * `unpowered` 0, `unhomed` 1 (powered, position unknown), `still` 2, `moving` 3 (braking included), `stopped` 4 (a motion
 * was cut short; motion is locked until `power on=1`).
 */
export const motionStates = ['unpowered', 'unhomed', 'still', 'moving', 'stopped'] as const;
export type WireMotionState = (typeof motionStates)[number];

export interface WireStatus {
  readonly positionUm: number;
  /** Rig clock modulo 2^32. */
  readonly clockUs: number;
  readonly motion: WireMotionState;
  readonly guardClosed: boolean;
  readonly emergencyStopReleased: boolean;
  readonly clampClosed: boolean;
  /** Number of the last accepted order, 0..65535. */
  readonly lastOrder: number;
}

/** Fields x c m g e p o. */
export function encodeStatus(status: WireStatus): Record<string, number> {
  return {
    x: Math.round(status.positionUm) + 0,
    c: modulo32(status.clockUs),
    m: motionStates.indexOf(status.motion),
    g: status.guardClosed ? 1 : 0,
    e: status.emergencyStopReleased ? 1 : 0,
    p: status.clampClosed ? 1 : 0,
    o: status.lastOrder,
  };
}

/** Throws `WireFieldsError` when a field is missing or out of its range: an interlock is never assumed closed. */
export function decodeStatus(fields: Readonly<Record<string, number>>): WireStatus {
  const motion = motionStates[need(fields, 'm')];
  if (motion === undefined) {
    throw new WireFieldsError(
      `The rig reports the unknown motion state m=${fields.m}. Its firmware is newer or faulty.`,
      ['m'],
    );
  }
  const lastOrder = need(fields, 'o');
  if (lastOrder < 0 || lastOrder > 65535) {
    throw new WireFieldsError(`The rig reports order number o=${lastOrder}, outside 0..65535.`, ['o']);
  }
  return {
    positionUm: need(fields, 'x'),
    clockUs: need(fields, 'c'),
    motion,
    ...decodeLocks(fields),
    lastOrder,
  };
}

export interface WireLocks {
  readonly guardClosed: boolean;
  readonly emergencyStopReleased: boolean;
  readonly clampClosed: boolean;
}

/** Interlock flags g e p of a status or a `locks` event. Throws `WireFieldsError`. */
export function decodeLocks(fields: Readonly<Record<string, number>>): WireLocks {
  return {
    guardClosed: flag(fields, 'g'),
    emergencyStopReleased: flag(fields, 'e'),
    clampClosed: flag(fields, 'p'),
  };
}

/** Fields g e p of a `locks` event. */
export function encodeLocks(locks: WireLocks): Record<string, number> {
  return {
    g: locks.guardClosed ? 1 : 0,
    e: locks.emergencyStopReleased ? 1 : 0,
    p: locks.clampClosed ? 1 : 0,
  };
}

function flag(fields: Readonly<Record<string, number>>, key: string): boolean {
  const value = need(fields, key);
  if (value !== 0 && value !== 1) {
    throw new WireFieldsError(`The rig reports ${key}=${value} where only 0 or 1 has a meaning.`, [key]);
  }
  return value === 1;
}
