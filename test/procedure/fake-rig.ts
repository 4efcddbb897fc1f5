/** A RigPort whose every answer is under the test's hand: for the engine, where physics does not matter. */
import type { Interlocks, RawReading, RigEvent, RigLimits, RigPort, RigStatus } from '../../src/procedure/rig-port.ts';

export const fakeLimits: RigLimits = {
  travelMinUm: 0,
  travelMaxUm: 114_000,
  stepsPerMm: 80,
  speedMaxUmPerS: 200_000,
  accelMaxMmPerS2: 2_000,
  jerkMaxMmPerS3: 20_000,
  creepSpeedMaxUmPerS: 20_000,
  homeSpeedUmPerS: 60_000,
  resonanceMilliHz: 25_000,
  dampingPermille: 80,
  integrationMinUs: 20,
  integrationMaxUs: 1_000_000,
  conversionsMax: 99,
  samplePeriodMinUs: 100,
  fullScaleCounts: 8_388_608,
  seriesReferenceMilliohm: 10_000_000,
  sourceMilliohm: 50_000,
  meterInputKiloohm: 1_000_000,
  watchdogUs: 250_000,
};

const allClosed: Interlocks = { guardClosed: true, emergencyStopReleased: true, clampClosed: true };

/** An error shaped like those of the rig room. */
export class FakeRigError extends Error {
  readonly code: string;
  readonly userFixable = true;

  constructor(code: string) {
    super(`The rig says ${code}.`);
    this.code = code;
  }
}

export interface FakeRig extends RigPort {
  /** Words of the orders received, in turn; `status` is left out. */
  readonly orders: string[];
  readonly isMoving: boolean;
  readonly isPowered: boolean;
  interlocks: Interlocks;
  /** Called with each order before it is answered; may return a promise that rejects or never settles. */
  onOrder: (word: string, count: number, signal: AbortSignal | undefined) => Promise<void> | undefined;
  emit(event: RigEvent): void;
  readonly listeners: number;
  /** A manual clock: each order takes `orderMs`. */
  nowMs: number;
}

export function createFakeRig(orderMs = 100): FakeRig {
  const listeners = new Set<(event: RigEvent) => void>();
  let isMoving = false;
  let isPowered = false;
  let isHomed = false;
  let isLocked = false;
  let count = 0;

  const status = (): RigStatus => ({
    positionUm: 0,
    rigClockUs: rig.nowMs * 1000,
    motion: !isPowered ? 'unpowered' : isMoving ? 'moving' : isLocked ? 'stopped' : isHomed ? 'still' : 'unhomed',
    interlocks: rig.interlocks,
  });

  const order = async (word: string, moves: boolean, signal: AbortSignal | undefined): Promise<void> => {
    if (signal?.aborted) throw new FakeRigError('cancelled');
    rig.orders.push(word);
    count += 1;
    if (moves) {
      if (!isPowered || isLocked) throw new FakeRigError('refused');
      isMoving = true;
    }
    const waiting = rig.onOrder(word, count, signal);
    if (waiting !== undefined) {
      // As a real port: a cancelled motion is halted before the order rejects.
      await Promise.race([
        waiting,
        new Promise<never>((_, reject) => {
          signal?.addEventListener('abort', () => {
            isMoving = false;
            isLocked = true;
            reject(new FakeRigError('cancelled'));
          });
        }),
      ]);
    }
    rig.nowMs += orderMs;
    isMoving = false;
  };

  const reading = (): RawReading => ({
    positionUm: 0,
    rigClockUs: rig.nowMs * 1000,
    conversions: 5,
    wiperCounts: 1_000_000,
    wiperSdCounts: 2,
    trackCounts: 8_000_000,
    overRange: false,
  });

  const rig: FakeRig = {
    identity: { model: 'fake-1', serial: 'FK0001', firmware: '1', protocol: 1, isVirtual: true },
    limits: fakeLimits,
    orders: [],
    interlocks: allClosed,
    nowMs: 0,
    onOrder: () => undefined,
    get isMoving() {
      return isMoving;
    },
    get isPowered() {
      return isPowered;
    },
    get listeners() {
      return listeners.size;
    },
    emit(event) {
      if (event.kind === 'interlocks') rig.interlocks = event.interlocks;
      for (const listener of listeners) listener(event);
    },
    status: (signal) => {
      if (signal?.aborted) return Promise.reject(new FakeRigError('cancelled'));
      return Promise.resolve(status());
    },
    async power(on, signal) {
      await order(on ? 'power on' : 'power off', false, signal);
      isPowered = on;
      isLocked = false;
      if (!on) isHomed = false;
    },
    async home(signal) {
      await order('home', true, signal);
      isHomed = true;
      return status();
    },
    async visit(visited, signal) {
      await order(`visit ${visited.targetUm}`, true, signal);
      return reading();
    },
    async sense(_, signal) {
      await order('sense', false, signal);
      return reading();
    },
    async ohms(_, signal) {
      await order('ohms', false, signal);
      return reading();
    },
    async glide(glided, onSamples, signal) {
      await order('glide', true, signal);
      onSamples([{ counter: 0, positionUm: 0, rigClockUs: 0, wiperCounts: 5 }]);
      return {
        positionUm: glided.targetUm,
        rigClockUs: rig.nowMs * 1000,
        samplesSent: 1,
        samplesReceived: 1,
        trackCounts: 8_000_000,
      };
    },
    async park(signal) {
      await order('park', true, signal);
      isPowered = false;
      isHomed = false;
      return status();
    },
    halt() {
      rig.orders.push('halt');
      isMoving = false;
      isLocked = isPowered;
      return Promise.resolve(status());
    },
    onEvent(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
  return rig;
}
