/** Keeps a core running: starts it, watches it, starts it again with the reason shown, and gives up honestly. */
import type { CoreClient } from '../contract/client.ts';
import { CoreGoneError } from '../contract/errors.ts';
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
  /** Calls back once; the answer calls it off. */
  readonly after: (ms: number, callback: () => void) => () => void;
}

/** More endings than this within the window are a defect, not bad luck. */
const endingsAllowed = 3;
const endingsWindowMs = 60_000;
/** A running core is asked this often whether it still answers ... */
export const askEveryMs = 5_000;
/** ... and ended when it has not for this long: longer than any export or backup holds it up. */
export const silenceAllowedMs = 30_000;

export interface CoreSupervisor {
  /** The client of the running core; rejects when there is none. */
  client(): Promise<CoreClient>;
  life(): CoreLife;
  restart(): Promise<void>;
  stop(): Promise<void>;
}

const restartSentence = (reason: string): string =>
  `The measuring process ended (${reason}) and was started again. What was shown as recorded is on disk; a run that was ` +
  'on is recorded as void. Connect the rig again, and send the log if this repeats.';

export function superviseCore(options: SupervisorOptions): CoreSupervisor {
  const { start, onEvent, onLife, log, nowMs, after } = options;
  let endings: number[] = [];
  let leaving = false;
  let life: CoreLife = { state: 'starting', reason: null };
  let current: StartedCore | null = null;
  let lastEnd: CoreGoneError | null = null;
  let changing: Promise<void> = Promise.resolve();

  function tell(state: CoreLife['state'], reason: string | null): void {
    life = { state, reason };
    log(`core ${state}${reason === null ? '' : `: ${reason}`}`);
    onLife(life);
  }

  function begin(state: 'starting' | 'restarting', reason: string | null): void {
    tell(state, reason);
    let core: StartedCore;
    try {
      core = start();
    } catch (error) {
      // Nothing to restart: the program's own files are missing or may not be run.
      current = null;
      tell('gone', `The measuring process cannot be started: ${String(error)}`);
      return;
    }
    current = core;
    const { client } = core;
    client.onEvent((event) => {
      if (core === current) onEvent(event);
    });
    client.onGone((error) => ended(core, error));
    client.ready.then(
      () => {
        if (core !== current || leaving) return;
        tell('running', reason);
        watch(core);
      },
      (error: Error) => {
        // A core that ended is dealt with by `ended`; this one lives and says why it cannot work.
        if (core === current && !leaving && !(error instanceof CoreGoneError)) tell('gone', error.message);
      },
    );
  }

  function watch(core: StartedCore): void {
    after(askEveryMs, () => {
      if (core !== current || leaving) return;
      const callOff = after(silenceAllowedMs, () => {
        if (core !== current || leaving) return;
        log(`core did not answer for ${silenceAllowedMs / 1000} s and is ended`);
        void core.stop(1_000);
      });
      const answered = (): void => {
        callOff();
        watch(core);
      };
      // A typed refusal is an answer too; a core that went away is dealt with by `ended`.
      core.client.call('snapshot', {}).then(answered, answered);
    });
  }

  function ended(core: StartedCore, error: CoreGoneError): void {
    if (leaving || core !== current) return;
    endings = [...endings.filter((time) => nowMs() - time < endingsWindowMs), nowMs()];
    if (life.state === 'gone') return;
    lastEnd = error;
    if (endings.length > endingsAllowed) {
      current = null;
      tell('gone', `${error.message} It ended ${endings.length} times in a minute.`);
      return;
    }
    begin('restarting', restartSentence(error.reason));
  }

  begin('starting', null);

  return {
    async client() {
      await changing;
      if (current === null) throw lastEnd ?? new CoreGoneError(life.reason ?? 'it was never started');
      const core = current;
      await core.client.ready;
      return core.client;
    },
    life: () => life,
    restart() {
      // One after the other: two cores would fight over the archive and the serial line.
      changing = changing.then(async () => {
        if (leaving) return;
        const old = current;
        current = null;
        endings = [];
        log('restart asked for by the operator');
        tell('restarting', null);
        await old?.stop();
        if (!leaving) begin('restarting', null);
      });
      return changing;
    },
    async stop() {
      leaving = true;
      await changing;
      await current?.stop();
    },
  };
}
