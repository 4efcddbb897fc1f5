import type { RigEvent } from '../procedure/rig-port.ts';
import { whenAborted } from './abort.ts';
import type { Clock } from './clock.ts';
import {
  CancelledError,
  IncompatibleRigError,
  PortBusyError,
  PortPermissionError,
  PortUnusableError,
  RigError,
} from './errors.ts';
import { connectRig, type Rig } from './rig.ts';
import type { Transport } from './transport.ts';

/**
 * `connecting`: the first attempt is under way. `absent`: nothing there yet. `ready`: a session is open.
 * `lost`: it was there and is gone. `refused`: it is there and cannot be used (permission, busy, incompatible).
 * `stopped`: not looking.
 */
export type RigState =
  | { readonly kind: 'stopped' | 'connecting' }
  | { readonly kind: 'ready'; readonly rig: Rig }
  | { readonly kind: 'absent' | 'lost' | 'refused'; readonly error: RigError };

export interface SupervisorOptions {
  readonly open: () => Promise<Transport>;
  readonly clock: Clock;
  readonly random16: () => number;
}

const FIRST_RETRY_MS = 100;
const LAST_RETRY_MS = 2000;

/** Keeps a rig connected: opens, greets, and begins again with growing pauses whenever the line is lost. */
export class RigSupervisor {
  readonly #options: SupervisorOptions;
  readonly #stateListeners = new Set<(state: RigState) => void>();
  readonly #eventListeners = new Set<(event: RigEvent) => void>();
  #state: RigState = { kind: 'stopped' };
  #running: { readonly stop: AbortController; readonly ended: Promise<void> } | null = null;

  constructor(options: SupervisorOptions) {
    this.#options = options;
  }

  get state(): RigState {
    return this.#state;
  }

  onState(listener: (state: RigState) => void): () => void {
    this.#stateListeners.add(listener);
    return () => this.#stateListeners.delete(listener);
  }

  /** Events of whichever rig is connected, `lineLost` and, after the reconnection, `lineBack`. */
  onEvent(listener: (event: RigEvent) => void): () => void {
    this.#eventListeners.add(listener);
    return () => this.#eventListeners.delete(listener);
  }

  start(): void {
    if (this.#running !== null) return;
    const stop = new AbortController();
    this.#running = { stop, ended: this.#run(stop.signal) };
  }

  /** Closes the line and stops looking. Halt a moving carriage first. */
  async stop(): Promise<void> {
    const running = this.#running;
    if (running === null) return;
    this.#running = null;
    running.stop.abort();
    await running.ended;
  }

  /** Resolves with the connected rig, now or when it comes. Rejects with CancelledError only. */
  async whenReady(signal?: AbortSignal): Promise<Rig> {
    let unsubscribe = (): void => {};
    const ready = new Promise<Rig>((resolve) => {
      const look = (state: RigState): void => {
        if (state.kind === 'ready') resolve(state.rig);
      };
      unsubscribe = this.onState(look);
      look(this.#state);
    });
    const abort = whenAborted(signal);
    try {
      const rig = await Promise.race([ready, abort.happened]);
      if (rig === null) throw new CancelledError('connect', { cause: signal?.reason });
      return rig;
    } finally {
      unsubscribe();
      abort.forget();
    }
  }

  async #run(stopping: AbortSignal): Promise<void> {
    let wasReady = false;
    let retryMs = FIRST_RETRY_MS;
    // Later attempts leave the state as it is: why there is no rig matters more than that it is tried again.
    this.#enter({ kind: 'connecting' });
    while (!stopping.aborted) {
      try {
        const rig = await this.#connect(stopping);
        const gone = new Promise<void>((resolve) => {
          rig.onEvent((event) => {
            this.#emit(event);
            if (event.kind === 'lineLost') resolve();
          });
        });
        if (rig.lost === null) {
          retryMs = FIRST_RETRY_MS;
          this.#enter({ kind: 'ready', rig });
          if (wasReady) this.#emit({ kind: 'lineBack' });
          wasReady = true;
          const abort = whenAborted(stopping);
          await Promise.race([gone, abort.happened]);
          abort.forget();
          if (stopping.aborted) await rig.close();
        }
        if (rig.lost !== null && !stopping.aborted) this.#enter({ kind: 'lost', error: rig.lost });
      } catch (error) {
        if (stopping.aborted) break;
        this.#enter({ kind: classify(error, wasReady), error: asRigError(error) });
      }
      await this.#pause(retryMs, stopping);
      retryMs = Math.min(retryMs * 2, LAST_RETRY_MS);
    }
    this.#enter({ kind: 'stopped' });
  }

  async #connect(signal: AbortSignal): Promise<Rig> {
    const { open, clock, random16 } = this.#options;
    const transport = await open();
    return connectRig(transport, { clock, random16, signal });
  }

  async #pause(delayMs: number, stopping: AbortSignal): Promise<void> {
    const abort = whenAborted(stopping);
    let callOff = (): void => {};
    const over = new Promise<void>((resolve) => {
      callOff = this.#options.clock.after(delayMs, resolve);
    });
    await Promise.race([over, abort.happened]);
    callOff();
    abort.forget();
  }

  #enter(state: RigState): void {
    this.#state = state;
    for (const listener of [...this.#stateListeners]) listener(state);
  }

  #emit(event: RigEvent): void {
    for (const listener of [...this.#eventListeners]) listener(event);
  }
}

function classify(error: unknown, wasReady: boolean): 'refused' | 'lost' | 'absent' {
  const isRefused =
    error instanceof PortBusyError ||
    error instanceof PortPermissionError ||
    error instanceof PortUnusableError ||
    error instanceof IncompatibleRigError;
  if (isRefused) return 'refused';
  return wasReady ? 'lost' : 'absent';
}

/** Anything else is a defect of this program and must not be hidden in a state. */
function asRigError(error: unknown): RigError {
  if (error instanceof RigError) return error;
  throw error;
}
