/** Keeps a core running: starts it, watches it, starts it again with the reason shown, and gives up honestly. */
import type { CoreClient } from '../contract/client.ts';
import type { CoreGoneError } from '../contract/errors.ts';
import type { CoreLife } from '../contract/shell.ts';
import type { CoreEvent } from '../contract/state.ts';

export interface StartedCore {
  readonly client: CoreClient;
  stop(patienceMs?: number): Promise<void>;
}

export interface SupervisorOptions {
  readonly start: () => StartedCore;
  readonly onEvent: (event: CoreEvent) => void;
  readonly onLife: (life: CoreLife) => void;
  readonly log: (text: string) => void;
  readonly nowMs: () => number;
}

/** More endings than this within the window are a defect, not bad luck. */
const endingsAllowed = 3;
const endingsWindowMs = 60_000;

export interface CoreSupervisor {
  /** The client of the running core; rejects when there is none. */
  client(): Promise<CoreClient>;
  life(): CoreLife;
  restart(): Promise<void>;
  stop(): Promise<void>;
}

export function superviseCore({ start, onEvent, onLife, log, nowMs }: SupervisorOptions): CoreSupervisor {
  let endings: number[] = [];
  let leaving = false;
  let current = begin('starting', null);
  let life: CoreLife = { state: 'starting', reason: null };

  function tell(next: CoreLife): void {
    life = next;
    log(`core ${next.state}${next.reason === null ? '' : `: ${next.reason}`}`);
    onLife(next);
  }

  function begin(state: 'starting' | 'restarting', reason: string | null): StartedCore {
    // The first call happens before `life` exists; queue the telling.
    queueMicrotask(() => tell({ state, reason }));
    const core = start();
    core.client.onEvent(onEvent);
    core.client.ready.then(
      () => tell({ state: 'running', reason }),
      (error: Error) => tell({ state: 'gone', reason: error.message }),
    );
    core.client.onGone((error) => ended(core, error));
    return core;
  }

  function ended(core: StartedCore, error: CoreGoneError): void {
    if (leaving || core !== current) return;
    endings = [...endings.filter((time) => nowMs() - time < endingsWindowMs), nowMs()];
    if (life.state === 'gone' || endings.length > endingsAllowed) {
      if (life.state !== 'gone')
        tell({ state: 'gone', reason: `${error.message} It ended ${endings.length} times in a minute.` });
      return;
    }
    current = begin('restarting', error.message);
  }

  return {
    async client() {
      await current.client.ready;
      return current.client;
    },
    life: () => life,
    async restart() {
      const old = current;
      endings = [];
      current = begin('restarting', 'asked for by the operator');
      await old.stop();
    },
    async stop() {
      leaving = true;
      await current.stop();
    },
  };
}
