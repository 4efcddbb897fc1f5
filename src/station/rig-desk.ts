/** The station's hold on its rig: connects, keeps it connected, knows its state and its calibration. */
import type { Archive } from '../archive/archive.ts';
import type { RigEvent, RigStatus } from '../procedure/rig-port.ts';
import { type Clock, systemClock } from '../rig/clock.ts';
import { RigSupervisor } from '../rig/reconnect.ts';
import type { Rig } from '../rig/rig.ts';
import type { Transport } from '../rig/transport.ts';
import { travelMmOf } from '../trust/apply.ts';
import type { Calibration } from '../trust/calibration.ts';
import { type CalibrationState, calibrationState } from '../trust/calibration-state.ts';
import { NoRigError } from './errors.ts';

export interface RigDeskView {
  readonly state: 'absent' | 'connecting' | 'ready' | 'lost' | 'refused';
  readonly reason: string | null;
  readonly path: string | null;
  readonly identity: Rig['identity'] | null;
  readonly positionMm: number | null;
  readonly interlocks: RigStatus['interlocks'] | null;
  readonly calibrationState: CalibrationState | null;
  readonly calibrationSentence: string | null;
  readonly calibrationDueAt: string | null;
}

export interface RigDeskOptions {
  readonly archive: Archive;
  readonly now: () => Date;
  readonly random16: () => number;
  readonly onChange: () => void;
  readonly onEvent: (event: RigEvent) => void;
  readonly log: (text: string) => void;
  readonly clock?: Clock;
}

/** How often an idle rig is asked for its interlocks; a busy one tells by its heartbeat. */
const lookEveryMs = 250;
/** How long a port may be in use before that is the answer. */
const busyPatienceMs = 1_000;
/** Older than this is no knowledge. */
const freshMs = 1_000;

export class RigDesk {
  readonly #options: RigDeskOptions;
  readonly #clock: Clock;
  #supervisor: RigSupervisor | null = null;
  #path: string | null = null;
  #looking: (() => void) | null = null;
  #latest: { readonly status: RigStatus; readonly atMs: number } | null = null;

  constructor(options: RigDeskOptions) {
    this.#options = options;
    this.#clock = options.clock ?? systemClock;
  }

  /** Begins to keep the rig behind `open` connected. The outcome shows in the view. */
  async connect(path: string, open: () => Promise<Transport>): Promise<void> {
    await this.disconnect();
    const supervisor = new RigSupervisor({ open, clock: this.#clock, random16: this.#options.random16 });
    this.#supervisor = supervisor;
    this.#path = path;
    supervisor.onState((state) => {
      this.#options.log(`rig ${state.kind}${'error' in state ? `: ${state.error.message}` : ''} (${path})`);
      if (state.kind !== 'ready') this.#latest = null;
      this.#options.onChange();
    });
    supervisor.onEvent((event) => {
      if (event.kind === 'interlocks') this.#noteInterlocks(event.interlocks);
      this.#options.onEvent(event);
      this.#options.onChange();
    });
    supervisor.start();
    this.#look();
  }

  /** Waits until the rig is ready, or fails with what stands in the way. @throws NoRigError, RigError */
  async whenReady(patienceMs: number): Promise<Rig> {
    const supervisor = this.#supervisor;
    if (supervisor === null) throw new NoRigError(null);
    const patience = new AbortController();
    const callOff = this.#clock.after(patienceMs, () => patience.abort());
    const busy: { callOff: (() => void) | null } = { callOff: null };
    const watch = (state: RigSupervisor['state']): void => {
      // A rig that is slow to answer may still come; a port that is not there or not ours will not. One that is in use may
      // be let go in a moment, by a program that is just ending.
      if (state.kind === 'refused' && state.error.code === 'portBusy') {
        busy.callOff ??= this.#clock.after(busyPatienceMs, () => patience.abort());
        return;
      }
      busy.callOff?.();
      busy.callOff = null;
      if (state.kind === 'refused' || (state.kind === 'absent' && state.error.code === 'portMissing')) patience.abort();
    };
    const stopWatching = supervisor.onState(watch);
    watch(supervisor.state);
    try {
      return await supervisor.whenReady(patience.signal);
    } catch (error) {
      const { state } = supervisor;
      if ('error' in state) throw state.error;
      throw patience.signal.aborted
        ? new NoRigError(`it did not answer within ${Math.round(patienceMs / 1000)} s`)
        : error;
    } finally {
      callOff();
      busy.callOff?.();
      stopWatching();
    }
  }

  async disconnect(): Promise<void> {
    this.#looking?.();
    this.#looking = null;
    const supervisor = this.#supervisor;
    this.#supervisor = null;
    this.#path = null;
    this.#latest = null;
    if (supervisor === null) return;
    if (supervisor.state.kind === 'ready') {
      // A line that fails while being left is lost anyway; the rig's watchdog stops what still moves.
      await supervisor.state.rig
        .halt()
        .catch((error: unknown) => this.#options.log(`halt on leaving: ${String(error)}`));
    }
    await supervisor.stop();
    this.#options.onChange();
  }

  /** @throws NoRigError */
  rig(): Rig {
    const state = this.#supervisor?.state;
    if (state?.kind === 'ready') return state.rig;
    throw new NoRigError(state !== undefined && 'error' in state ? state.error.message : null);
  }

  /** The newest calibration of the connected rig; null = none, or no rig. */
  calibration(): Calibration | null {
    const state = this.#supervisor?.state;
    if (state?.kind !== 'ready') return null;
    const stored = this.#options.archive.activeCalibration(state.rig.identity.serial);
    return stored === null ? null : (stored.data as Calibration);
  }

  view(): RigDeskView {
    const state = this.#supervisor?.state ?? { kind: 'stopped' as const };
    if (state.kind !== 'ready') {
      return {
        state: state.kind === 'stopped' ? 'absent' : state.kind,
        reason: 'error' in state ? state.error.message : null,
        path: this.#path,
        identity: null,
        positionMm: null,
        interlocks: null,
        calibrationState: null,
        calibrationSentence: null,
        calibrationDueAt: null,
      };
    }
    const { identity } = state.rig;
    const calibration = this.calibration();
    const standing = calibrationState(calibration, identity.serial, this.#options.now().toISOString());
    const status = this.#freshStatus();
    return {
      state: 'ready',
      reason: null,
      path: this.#path,
      identity,
      positionMm: status === null || calibration === null ? null : travelMmOf(status.positionUm, 'still', calibration),
      interlocks: status?.interlocks ?? null,
      calibrationState: standing.state,
      calibrationSentence: standing.sentence,
      calibrationDueAt: calibration?.dueAt ?? null,
    };
  }

  /** The newest knowledge of position and interlocks; null when there is none that is fresh. */
  #freshStatus(): RigStatus | null {
    const state = this.#supervisor?.state;
    const heard = state?.kind === 'ready' ? state.rig.latestStatus() : null;
    if (heard !== null && heard.ageMs < freshMs) return heard.status;
    const { status, atMs } = this.#latest ?? { status: null, atMs: 0 };
    return status !== null && this.#clock.nowMs() - atMs < freshMs ? status : null;
  }

  #noteInterlocks(interlocks: RigStatus['interlocks']): void {
    if (this.#latest !== null) {
      this.#latest = { status: { ...this.#latest.status, interlocks }, atMs: this.#clock.nowMs() };
    }
  }

  #look(): void {
    this.#looking = this.#clock.after(lookEveryMs, () => {
      const state = this.#supervisor?.state;
      if (state === undefined) return;
      if (state.kind !== 'ready') {
        this.#look();
        return;
      }
      state.rig
        .status()
        .then(
          (status) => {
            this.#latest = { status, atMs: this.#clock.nowMs() };
          },
          // The supervisor hears of a lost line by itself and says so.
          () => {
            this.#latest = null;
          },
        )
        .finally(() => {
          this.#options.onChange();
          if (this.#supervisor !== null) this.#look();
        });
    });
  }
}
