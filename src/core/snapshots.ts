/** Tells listeners of a changed state at most every so often, and always of the last change. */
export interface Announcer {
  /** Something changed; the next announcement will show it. */
  changed(): void;
  /** Announce now, e.g. before an event that must not overtake the state. */
  flush(): void;
  stop(): void;
}

export function announcer(announce: () => void, everyMs: number): Announcer {
  let timer: NodeJS.Timeout | null = null;
  let pending = false;
  const tick = (): void => {
    timer = null;
    if (!pending) return;
    pending = false;
    announce();
    timer = setTimeout(tick, everyMs);
  };
  return {
    changed() {
      pending = true;
      timer ??= setTimeout(tick, 0);
    },
    flush() {
      if (timer !== null) clearTimeout(timer);
      timer = null;
      pending = false;
      announce();
    },
    stop() {
      if (timer !== null) clearTimeout(timer);
      timer = null;
      pending = false;
    },
  };
}
