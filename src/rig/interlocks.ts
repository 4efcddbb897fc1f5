import type { WireStatus } from '../../firmware-protocol/codec/index.ts';
import { RigRefusedError } from './errors.ts';

/** A motion needs a state of the rig younger than this. */
export const INTERLOCK_FRESH_MS = 200;

/**
 * Refuses a motion locally, with the same codes and in the same order as the rig would, when the interlocks do not
 * allow it. `creep` may move with guard and clamp open, slowly.
 */
export function ensureMayMove(word: string, status: WireStatus): void {
  if (!status.emergencyStopReleased) throw new RigRefusedError(word, 'estop');
  if (word === 'creep') return;
  if (!status.guardClosed) throw new RigRefusedError(word, 'guard');
  if (!status.clampClosed) throw new RigRefusedError(word, 'clamp');
}
