/** Everything timed in this room goes through a clock, so that tests run in no wall time. */
export interface Clock {
  /** Monotonic milliseconds; the origin means nothing. */
  nowMs(): number;
  /** Runs `run` once after `delayMs`. Returns the function that calls it off. */
  after(delayMs: number, run: () => void): () => void;
}

export const systemClock: Clock = {
  nowMs: () => performance.now(),
  after: (delayMs, run) => {
    const timer = setTimeout(run, delayMs);
    return () => clearTimeout(timer);
  },
};

/** Resolves after `delayMs` of the clock. */
export function pause(clock: Clock, delayMs: number): Promise<void> {
  return new Promise((resolve) => {
    clock.after(delayMs, resolve);
  });
}
