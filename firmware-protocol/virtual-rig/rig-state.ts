import type { RefusalCode } from '../codec/refusals.ts';
import type { WireMotionState } from '../codec/status.ts';

export type LockReason = Extract<RefusalCode, 'halted' | 'silent' | 'stalled' | 'guard' | 'clamp'>;

/** What the rig's controller knows of itself. */
export class RigState {
  powered = false;
  homed = false;
  /** Why motion is locked until `power on=1`; null = it is not. */
  lock: LockReason | null = null;
  guardClosed = true;
  emergencyStopReleased = true;
  clampClosed = true;

  powerOff(): void {
    this.powered = false;
    this.homed = false;
    this.lock = null;
  }

  powerOn(): void {
    this.powered = true;
    this.lock = null;
  }

  /** The first reason stays until the lock is lifted. Without motor power there is nothing to lock. */
  lockMotion(reason: LockReason): void {
    if (this.powered) this.lock ??= reason;
  }

  motion(moving: boolean): WireMotionState {
    if (!this.powered) return 'unpowered';
    if (moving) return 'moving';
    if (this.lock) return 'stopped';
    return this.homed ? 'still' : 'unhomed';
  }

  /** The first reason, in the protocol's order, why a motion may not start. */
  refusalOfMotion(word: string): RefusalCode | null {
    if (!this.emergencyStopReleased) return 'estop';
    if (!this.powered) return 'unpowered';
    if (this.lock) return this.lock;
    if (word !== 'home' && !this.homed) return 'unhomed';
    if (word === 'creep') return null;
    if (!this.guardClosed) return 'guard';
    return this.clampClosed ? null : 'clamp';
  }
}
