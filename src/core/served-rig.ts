/** The two ways of serving a virtual rig behind one face: on a pseudo-terminal, or as a stream in this process. */
import type { VirtualRig } from '../../firmware-protocol/virtual-rig/in-process.ts';
import type { RigProcess } from '../../firmware-protocol/virtual-rig/serve.ts';
import type { ToolCut } from '../../firmware-protocol/virtual-rig/tool.ts';
import { LineLostError, PortMissingError } from '../rig/errors.ts';
import { openSerial } from '../rig/serial-transport.ts';
import { overDuplex, type Transport } from '../rig/transport.ts';
import type { Calibration } from '../trust/calibration.ts';

export interface VirtualInterlocks {
  readonly guardClosed: boolean;
  readonly emergencyStopReleased: boolean;
  readonly clampClosed: boolean;
}

export interface ServedRig {
  /** The port, or a name for the stream inside this process. */
  readonly path: string;
  open(): Promise<Transport>;
  serials(): Promise<readonly string[]>;
  load(index: number): Promise<string>;
  certificate(madeAt: string, dueAt: string): Promise<Calibration>;
  setInterlocks(locks: VirtualInterlocks): Promise<void>;
  /** A reference divider in place of the fader; null = the fader again. */
  fitDivider(lossDb: 20 | 40 | 60 | null): Promise<void>;
  /** As the virtual tool really cuts. */
  applyCuts(index: number, cuts: readonly ToolCut[], toolId: string): Promise<void>;
  /** Ends what was being cut, then begins this cut, deepening steadily; null = only ends. */
  cutLive(index: number, live: LiveCut | null): Promise<void>;
  stop(): Promise<void>;
}

export interface LiveCut {
  readonly cut: ToolCut;
  readonly toolId: string;
  readonly rateMmPerS: number;
}

export function onPty(rig: RigProcess): ServedRig {
  const { path, sideDoor } = rig;
  return {
    path,
    async open() {
      // The path of a rig that has ended may lead to another one by now.
      if (rig.process.exitCode !== null || rig.process.signalCode !== null) throw new PortMissingError(path);
      return openSerial(path);
    },
    serials: () => sideDoor.serials(),
    load: async (index) => (await sideDoor.load(index)).serial,
    certificate: (madeAt, dueAt) => sideDoor.certificate(madeAt, dueAt),
    async setInterlocks({ guardClosed, emergencyStopReleased, clampClosed }) {
      await sideDoor.setGuard(guardClosed);
      await sideDoor.setEmergencyStop(emergencyStopReleased);
      await sideDoor.setClamp(clampClosed);
    },
    fitDivider: (lossDb) => sideDoor.fitDivider(lossDb),
    applyCuts: (index, cuts, toolId) => sideDoor.applyCuts(index, cuts, toolId),
    async cutLive(index, live) {
      await sideDoor.stopCutting();
      if (live !== null) await sideDoor.startCutting(index, live.cut, live.toolId, live.rateMmPerS);
    },
    stop: () => rig.stop(),
  };
}

export function inProcess(rig: VirtualRig): ServedRig {
  const { sideDoor } = rig;
  const path = 'inside the program';
  return {
    path,
    async open() {
      const port = rig.reopen();
      if (port === null) throw new LineLostError(path, 'the virtual cable is unplugged');
      return overDuplex(port, path);
    },
    serials: async () => sideDoor.serials(),
    load: async (index) => sideDoor.load(index).serial,
    certificate: async (madeAt, dueAt) => sideDoor.certificate(madeAt, dueAt),
    async setInterlocks({ guardClosed, emergencyStopReleased, clampClosed }) {
      sideDoor.setGuard(guardClosed);
      sideDoor.setEmergencyStop(emergencyStopReleased);
      sideDoor.setClamp(clampClosed);
    },
    fitDivider: async (lossDb) => sideDoor.fitDivider(lossDb),
    applyCuts: async (index, cuts, toolId) => sideDoor.applyCuts(index, cuts, toolId),
    async cutLive(index, live) {
      sideDoor.stopCutting();
      if (live !== null) sideDoor.startCutting(index, live.cut, live.toolId, live.rateMmPerS);
    },
    stop: async () => rig.close(),
  };
}
