/** Leaves the rig safe after a run that did not reach its end. */
import { openInterlocks } from './point-check.ts';
import type { RigPort } from './rig-port.ts';

export interface CleanupReport {
  /** The rig confirmed standing still (or the run had ended by itself). */
  readonly standsStill: boolean;
  readonly parked: boolean;
  /** What could not be done, in words; null = all was. */
  readonly problem: string | null;
}

export const nothingToClean: CleanupReport = { standsStill: true, parked: true, problem: null };

/** Ends of a run after which the carriage must not be driven again before somebody has looked. */
const leaveWhereItStands = new Set(['stall', 'lineLost', 'rigRestarted', 'interlockOpen', 'silenceStop']);

/**
 * Halt first, always. Then, when every interlock is closed and nothing speaks against motion, the lock of the halt is
 * lifted and the carriage parked; else motor power is taken away where it stands. Never rejects: what failed is told.
 *
 * @param code why the run ended
 */
export async function cleanUp(
  port: RigPort,
  code: string,
  mayPark: boolean,
  signal: AbortSignal,
): Promise<CleanupReport> {
  const problems: string[] = [];
  let standsStill = false;
  let parked = false;
  try {
    await port.halt();
    standsStill = true;
  } catch (error) {
    problems.push(`Standing still was not confirmed (${messageOf(error)}): look at the rig before reaching in.`);
  }
  if (standsStill && mayPark && !leaveWhereItStands.has(code) && !signal.aborted) {
    try {
      parked = await park(port, signal);
    } catch (error) {
      problems.push(`The carriage was not parked (${messageOf(error)}).`);
      standsStill = await haltAgain(port, problems);
    }
  }
  if (!parked) {
    try {
      await port.power(false);
    } catch (error) {
      problems.push(`Motor power may still be on (${messageOf(error)}).`);
    }
  }
  return { standsStill, parked, problem: problems.length === 0 ? null : problems.join(' ') };
}

async function park(port: RigPort, signal: AbortSignal): Promise<boolean> {
  const before = await port.status(signal);
  if (openInterlocks(before.interlocks) !== null || before.motion === 'unpowered' || before.motion === 'unhomed') {
    return false;
  }
  // After a halt motion is locked until power is ordered on again: that decision is taken here.
  await port.power(true, signal);
  const ready = await port.status(signal);
  if (ready.motion !== 'still' || openInterlocks(ready.interlocks) !== null) return false;
  await port.park(signal);
  return true;
}

async function haltAgain(port: RigPort, problems: string[]): Promise<boolean> {
  try {
    await port.halt();
    return true;
  } catch (error) {
    problems.push(`Standing still was not confirmed (${messageOf(error)}): look at the rig before reaching in.`);
    return false;
  }
}

export function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
