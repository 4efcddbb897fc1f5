/** Everything in the rig that waits, waits here; so tests run hours of rig time in no wall time. */
export interface Clock {
  /** Monotonic milliseconds; the origin means nothing. */
  nowMs(): number;
  /** Runs `run` once after `delayMs`. Returns the function that calls it off. */
  after(delayMs: number, run: () => void): () => void;
}

/**
 * The computer's clock. `setTimeout` alone wakes up to a millisecond late, and at a high time factor that is long for
 * the rig; the last stretch is waited in turns of the event loop instead.
 */
export const realClock: Clock = {
  nowMs: () => performance.now(),
  after(delayMs, run) {
    const dueMs = performance.now() + delayMs;
    let timer: NodeJS.Timeout | null = null;
    let turn: NodeJS.Immediate | null = null;
    const look = (): void => {
      if (performance.now() >= dueMs) run();
      else turn = setImmediate(look);
    };
    const coarseMs = Math.floor(delayMs - 1);
    if (coarseMs >= 1) timer = setTimeout(look, coarseMs);
    else turn = setImmediate(look);
    return () => {
      if (timer) clearTimeout(timer);
      if (turn) clearImmediate(turn);
    };
  },
};
