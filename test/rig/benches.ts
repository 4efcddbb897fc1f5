import { createVirtualRig } from '../../firmware-protocol/virtual-rig/in-process.ts';
import type { RigOptions } from '../../firmware-protocol/virtual-rig/options.ts';
import { type RigProcess, startRigProcess } from '../../firmware-protocol/virtual-rig/serve.ts';
import type { Execution, RigMoment } from '../../firmware-protocol/virtual-rig/side-door.ts';
import { VirtualClock } from '../../firmware-protocol/virtual-rig/virtual-clock.ts';
import { type Clock, pause, systemClock } from '../../src/rig/clock.ts';
import { PortMissingError } from '../../src/rig/errors.ts';
import { openSerial } from '../../src/rig/serial-transport.ts';
import { overDuplex, type Transport } from '../../src/rig/transport.ts';

/** What a person at the bench can do to the rig and see of it; null for a real rig, whose bench nobody sits at. */
export interface BenchSide {
  setGuard(closed: boolean): Promise<void>;
  unplug(): Promise<void>;
  plug(): Promise<void>;
  restart(): Promise<void>;
  moment(): Promise<RigMoment>;
  executions(): Promise<readonly Execution[]>;
}

/** A rig and a way to it: the same behaviour is expected of each kind. */
export interface Bench {
  readonly clock: Clock;
  readonly side: BenchSide | null;
  open(): Promise<Transport>;
  /** Lets the bench's time pass until the promise settles. */
  run<T>(promise: Promise<T>): Promise<T>;
  wait(durationMs: number): Promise<void>;
  stop(): Promise<void>;
}

/** In this process, in virtual time. */
export async function virtualBench(options: RigOptions): Promise<Bench> {
  const clock = new VirtualClock();
  const rig = createVirtualRig({ ...options, clock });
  const { sideDoor } = rig;
  return {
    clock,
    side: {
      setGuard: async (closed) => sideDoor.setGuard(closed),
      unplug: async () => sideDoor.unplug(),
      plug: async () => sideDoor.plug(),
      restart: async () => sideDoor.restart(),
      moment: async () => sideDoor.moment(),
      executions: async () => sideDoor.executions(),
    },
    async open() {
      const port = rig.reopen();
      if (port === null) throw new PortMissingError('in-process');
      return overDuplex(port);
    },
    run: (promise) => clock.runUntil(promise),
    wait: (durationMs) => clock.advance(durationMs),
    async stop() {
      rig.close();
    },
  };
}

/** In a process of its own, on a real pseudo-terminal opened by the serial library, in real time. */
export async function ptyBench(options: RigOptions): Promise<Bench & { readonly rigProcess: RigProcess }> {
  const rigProcess = await startRigProcess(options);
  const { sideDoor } = rigProcess;
  return {
    ...(await realBench(rigProcess.path)),
    rigProcess,
    side: {
      setGuard: (closed) => sideDoor.setGuard(closed),
      unplug: () => sideDoor.unplug(),
      plug: () => sideDoor.plug(),
      restart: () => sideDoor.restart(),
      moment: () => sideDoor.moment(),
      executions: () => sideDoor.executions(),
    },
    stop: () => rigProcess.stop(),
  };
}

/** A real rig at a real port, real time. */
export async function realBench(path: string): Promise<Bench> {
  return {
    clock: systemClock,
    side: null,
    open: () => openSerial(path),
    run: (promise) => promise,
    wait: (durationMs) => pause(systemClock, durationMs),
    stop: async () => {},
  };
}
