import type { RigClock } from './rig-clock.ts';

/**
 * Stops a carriage whose station has fallen silent. Silence is counted in time of the line, that is of the wall clock,
 * whatever the time factor: at factor 1 both are the same, and a fast demonstration keeps the same rule of silence.
 */
export class Watchdog {
  private readonly clock: RigClock;
  private readonly limitMs: number;
  private readonly marginMs: number;
  private readonly brakeMs: () => number;
  private readonly fire: (deadlineMs: number) => void;
  private lastLineMs: number;
  private armed = false;
  private cancel: (() => void) | null = null;

  /**
   * `brakeMs` = wall time that braking from the fastest speed of the motion in progress takes; `fire` gets the wall
   * time at which braking has to begin.
   */
  constructor(
    clock: RigClock,
    limitUs: number,
    marginUs: number,
    brakeMs: () => number,
    fire: (deadlineMs: number) => void,
  ) {
    this.clock = clock;
    this.limitMs = limitUs / 1000;
    this.marginMs = marginUs / 1000;
    this.brakeMs = brakeMs;
    this.fire = fire;
    this.lastLineMs = clock.nowMs();
  }

  feed(): void {
    this.lastLineMs = this.clock.nowMs();
  }

  /** Watches from now until `disarm`; a motion begins with the line that ordered it. */
  arm(): void {
    this.disarm();
    this.armed = true;
    this.schedule();
  }

  disarm(): void {
    this.armed = false;
    this.cancel?.();
    this.cancel = null;
  }

  private deadlineMs(): number {
    return this.lastLineMs + this.limitMs - this.brakeMs() - this.marginMs;
  }

  // A fed watchdog does not move its timer: the timer looks again when it comes due.
  private schedule(): void {
    this.cancel = this.clock.afterWall(Math.max(0, this.deadlineMs() - this.clock.nowMs()), () => {
      if (this.deadlineMs() > this.clock.nowMs()) this.schedule();
      // Lines that have arrived while this process was busy are let in before silence is found.
      else this.cancel = this.clock.afterWall(0, () => this.look());
    });
  }

  private look(): void {
    if (!this.armed) return;
    const deadline = this.deadlineMs();
    if (deadline > this.clock.nowMs()) this.schedule();
    else {
      this.disarm();
      this.fire(deadline);
    }
  }
}
