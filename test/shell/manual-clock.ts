/** A clock that only moves when a test moves it. */
export interface ManualClock {
  nowMs(): number;
  after(ms: number, callback: () => void): () => void;
  /** Moves on, calling back whatever falls due, in order. */
  advance(ms: number): void;
}

export function manualClock(): ManualClock {
  let now = 0;
  let timers: { readonly at: number; readonly callback: () => void }[] = [];
  return {
    nowMs: () => now,
    after(ms, callback) {
      const timer = { at: now + ms, callback };
      timers.push(timer);
      return () => {
        timers = timers.filter((other) => other !== timer);
      };
    },
    advance(ms) {
      const end = now + ms;
      for (;;) {
        const next = timers.filter(({ at }) => at <= end).sort((a, b) => a.at - b.at)[0];
        if (next === undefined) break;
        timers = timers.filter((other) => other !== next);
        now = next.at;
        next.callback();
      }
      now = end;
    },
  };
}
