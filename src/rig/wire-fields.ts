import { type ClockUnwrap, decodeReading, type WireStatus } from '../../firmware-protocol/codec/index.ts';
import type { MeterOrder, MotionOrder, RawReading, RigStatus, VisitOrder } from '../procedure/rig-port.ts';
import { MeterDataError } from './errors.ts';

/** Orders in the program's words to fields of the wire, which are whole numbers, and answers back. */
export const motionFields = (order: MotionOrder): Record<string, number> => ({
  x: Math.round(order.targetUm),
  v: Math.round(order.speedUmPerS),
  a: Math.round(order.accelMmPerS2),
  j: Math.round(order.jerkMmPerS3),
});

export const meterFields = (order: MeterOrder): Record<string, number> => ({
  t: Math.round(order.integrationUs),
  n: order.conversions,
});

export const visitFields = (order: VisitOrder): Record<string, number> => ({
  ...motionFields(order),
  up: order.approach === 'up' ? 1 : 0,
  w: Math.round(order.dwellUs),
  ...meterFields(order),
});

/** Runs a decoder of the codec; what makes no sense to it is thrown as MeterDataError. */
export function decodeAnswer<T>(word: string, decode: () => T): T {
  try {
    return decode();
  } catch (cause) {
    throw new MeterDataError(word, cause instanceof Error ? cause.message : String(cause), { cause });
  }
}

export function toRawReading(fields: Readonly<Record<string, number>>, rigClock: ClockUnwrap): RawReading {
  const reading = decodeReading(fields);
  return {
    positionUm: reading.positionUm,
    rigClockUs: rigClock.unwrap(reading.clockUs),
    conversions: reading.conversions,
    wiperCounts: reading.wiperMean,
    wiperSdCounts: reading.wiperSd,
    trackCounts: reading.trackMean,
    overRange: reading.overRange,
  };
}

export function toRigStatus(status: WireStatus, rigClock: ClockUnwrap): RigStatus {
  const { guardClosed, emergencyStopReleased, clampClosed } = status;
  return {
    positionUm: status.positionUm,
    rigClockUs: rigClock.unwrap(status.clockUs),
    motion: status.motion,
    interlocks: { guardClosed, emergencyStopReleased, clampClosed },
  };
}
