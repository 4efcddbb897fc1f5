import type { Clock } from './clock.ts';

/** The rig's own time: microseconds since it started, `factor` times faster than the clock on the wall. */
export class RigClock {
  private readonly clock: Clock;
  readonly factor: number;
  private readonly startMs: number;

  constructor(clock: Clock, factor: number) {
    if (!(factor > 0) || !Number.isFinite(factor)) throw new RangeError(`a time factor must be above 0, not ${factor}`);
    this.clock = clock;
    this.factor = factor;
    this.startMs = clock.nowMs();
  }

  nowUs(): number {
    return this.atMs(this.clock.nowMs());
  }

  /** Rig time of a moment of the wall clock. */
  atMs(wallMs: number): number {
    return (wallMs - this.startMs) * 1000 * this.factor;
  }

  nowMs(): number {
    return this.clock.nowMs();
  }

  /** Wall milliseconds that a span of rig time takes. */
  wallMs(rigUs: number): number {
    return rigUs / (1000 * this.factor);
  }

  /** Runs at a moment of rig time. */
  at(rigUs: number, run: () => void): () => void {
    return this.clock.after(Math.max(0, this.wallMs(rigUs - this.nowUs())), run);
  }

  /** Runs after wall time, for what belongs to the line rather than to the mechanics. */
  afterWall(delayMs: number, run: () => void): () => void {
    return this.clock.after(delayMs, run);
  }
}
