import type { Clock } from './clock.ts';

export interface HeartbeatParts {
  readonly beat: () => void;
  readonly isUnanswered: () => boolean;
  readonly isOrderInWork: () => boolean;
  readonly isPowered: () => boolean;
}

/** Ten chances inside the rig's watchdog of 250 ms, so that a disturbed line does not stop a motion. */
const BUSY_MS = 25;
/** Powered and still: four chances inside the watchdog, ten once the first goes unanswered. */
const STILL_MS = 60;
/** Motor power off: only to notice a lost line. */
const IDLE_MS = 500;

/** Feeds the rig's watchdog and asks for its state, as often as the situation needs. */
export class Heartbeat {
  readonly #clock: Clock;
  readonly #parts: HeartbeatParts;
  #callOff: (() => void) | null = null;
  #dueMs = 0;

  constructor(clock: Clock, parts: HeartbeatParts) {
    this.#clock = clock;
    this.#parts = parts;
  }

  start(): void {
    this.#schedule();
  }

  stop(): void {
    this.#callOff?.();
    this.#callOff = null;
  }

  /** The situation has become more urgent: the next beat may have to come earlier. */
  retime(): void {
    if (this.#callOff === null || this.#dueMs <= this.#clock.nowMs() + this.#intervalMs()) return;
    this.stop();
    this.#schedule();
  }

  #schedule(): void {
    const intervalMs = this.#intervalMs();
    this.#dueMs = this.#clock.nowMs() + intervalMs;
    this.#callOff = this.#clock.after(intervalMs, () => {
      this.#schedule();
      this.#parts.beat();
    });
  }

  #intervalMs(): number {
    if (this.#parts.isOrderInWork() || this.#parts.isUnanswered()) return BUSY_MS;
    return this.#parts.isPowered() ? STILL_MS : IDLE_MS;
  }
}
