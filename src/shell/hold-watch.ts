/**
 * Hold-to-run over a process boundary. While a creep is under way the window repeats that the key is still held; when that
 * falls silent, because the window froze, crashed or was closed, the carriage is halted from here. Software: it is not an
 * emergency stop.
 */

/** The window repeats every 100 ms; three may be late. */
export const silenceAllowedMs = 400;
/** A halt that overtook its creep must not be the last one: it is repeated until the creep has ended. */
export const haltAgainMs = 100;

export interface HoldWatchNeeds {
  readonly halt: () => Promise<unknown>;
  readonly log: (text: string) => void;
  /** Calls back once; the answer calls it off. */
  readonly after: (ms: number, callback: () => void) => () => void;
}

export interface HoldWatch {
  /** Watches until the creep has ended, however it ends. */
  watch<T>(creep: Promise<T>): Promise<T>;
  /** The key is still held. */
  held(): void;
  /** The window is gone or no longer answers: whatever creeps is halted now. */
  lost(reason: string): void;
}

export function watchHold({ halt, log, after }: HoldWatchNeeds): HoldWatch {
  let creeping = 0;
  let isHalting = false;
  let callOff: (() => void) | null = null;

  function haltNow(reason: string): void {
    log(`creep halted: ${reason}`);
    isHalting = true;
    haltUntilEnded();
  }

  function haltUntilEnded(): void {
    callOff?.();
    callOff = after(haltAgainMs, haltUntilEnded);
    // A halt that fails means a lost line or core, and then the rig's own watchdog stops the carriage.
    halt().catch((error: unknown) => log(`halt failed: ${String(error)}`));
  }

  function wait(): void {
    callOff?.();
    callOff = after(silenceAllowedMs, () => haltNow(`the window was silent for ${silenceAllowedMs} ms`));
  }

  return {
    async watch(creep) {
      creeping += 1;
      if (!isHalting) wait();
      try {
        return await creep;
      } finally {
        creeping -= 1;
        if (creeping === 0) {
          callOff?.();
          callOff = null;
          isHalting = false;
        }
      }
    },
    held() {
      // A sign of life that comes after the halt is too late: the key must be pressed anew.
      if (creeping > 0 && !isHalting) wait();
    },
    lost(reason) {
      if (creeping > 0 && !isHalting) haltNow(reason);
    },
  };
}
