/** The one door to the virtual rig: starts it on a pseudo-terminal, or inside this process where there is none. */
import { readFile } from 'node:fs/promises';
import { createVirtualRig } from '../../firmware-protocol/virtual-rig/in-process.ts';
import type { RigOptions } from '../../firmware-protocol/virtual-rig/options.ts';
import { parametersFrom } from '../../firmware-protocol/virtual-rig/parameter-file.ts';
import { ptyProblem, startRigProcess } from '../../firmware-protocol/virtual-rig/serve.ts';
import type { CommandInput, VirtualRequest } from '../contract/commands.ts';
import type { Law } from '../law/build.ts';
import type { Transport } from '../rig/transport.ts';
import { diskWords } from '../station/disk.ts';
import type { Cut } from '../trim/trim.ts';
import type { Calibration } from '../trust/calibration.ts';
import { inProcess, onPty, type ServedRig, type VirtualInterlocks } from './served-rig.ts';

export class VirtualRigError extends Error {
  readonly code = 'request.virtualRig';
  readonly userFixable = true;
  override readonly name = 'VirtualRigError';
}

export interface StartedVirtualRig {
  readonly path: string;
  readonly open: () => Promise<Transport>;
  readonly certificate: Calibration;
  readonly serials: readonly string[];
}

interface Running {
  readonly rig: ServedRig;
  readonly seed: number;
  readonly timeFactor: number;
  readonly serials: readonly string[];
  loaded: number | null;
}

export interface VirtualView {
  readonly path: string;
  readonly seed: number;
  readonly size: number;
  readonly loadedSerial: string | null;
  readonly nextSerial: string | null;
}

const certificateDays = 365;
/** Deeper than the room beside the swath: a hand that nobody stops cuts into it. */
const deepestLiveMm = 2;

export class VirtualRigDoor {
  readonly #now: () => Date;
  readonly #onChange: () => void;
  #running: Running | null = null;

  constructor(now: () => Date, onChange: () => void) {
    this.#now = now;
    this.#onChange = onChange;
  }

  view(): VirtualView | null {
    if (this.#running === null) return null;
    const { rig, seed, serials, loaded } = this.#running;
    return {
      path: rig.path,
      seed,
      size: serials.length,
      loadedSerial: loaded === null ? null : (serials[loaded] ?? null),
      nextSerial: serials[loaded === null ? 0 : loaded + 1] ?? null,
    };
  }

  async start(request: VirtualRequest, law: Law): Promise<StartedVirtualRig> {
    await this.stop();
    const options: RigOptions = {
      law: {
        id: law.id,
        travelMm: law.travelMm,
        nominalOhm: law.resistance.nominalOhm,
        interpolation: law.interpolation,
        points: law.points,
      },
      seed: request.seed,
      size: request.size,
      finish: request.finish,
      faultShare: request.faultShare,
      timeFactor: request.timeFactor,
      ...(request.corruptOneIn === undefined ? {} : { disturbance: { corruptOneIn: request.corruptOneIn } }),
      ...(request.parametersFile === undefined
        ? {}
        : { parameters: parametersFrom(await parameterText(request.parametersFile), request.parametersFile) }),
    };
    const isPtyHere = (await this.ptyProblem()) === null;
    const rig = isPtyHere ? onPty(await startRigProcess(options)) : inProcess(createVirtualRig(options));
    const serials = await rig.serials();
    this.#running = { rig, seed: request.seed, timeFactor: request.timeFactor, serials, loaded: null };
    const madeAt = this.#now();
    const dueAt = new Date(madeAt.getTime() + certificateDays * 86_400_000);
    const certificate = await rig.certificate(madeAt.toISOString(), dueAt.toISOString());
    this.#onChange();
    return { path: rig.path, open: () => rig.open(), certificate, serials };
  }

  async load(index: number): Promise<{ serial: string }> {
    const running = this.#need();
    if (index >= running.serials.length) {
      throw new VirtualRigError(
        `The virtual batch has ${running.serials.length} faders, numbered from 0; there is no ${index}.`,
      );
    }
    const serial = await running.rig.load(index);
    running.loaded = index;
    this.#onChange();
    return { serial };
  }

  /** Puts the fader of this serial into the virtual clamp; does nothing while no virtual rig is served. */
  async loadSerial(serial: string): Promise<void> {
    if (this.#running === null) return;
    const { serials, loaded } = this.#running;
    const index = serials.indexOf(serial.trim().toUpperCase());
    if (index < 0) {
      throw new VirtualRigError(
        `The virtual batch has no fader ${serial}; it goes from ${serials[0]} to ${serials.at(-1)}. Give one of these.`,
      );
    }
    if (index !== loaded) await this.load(index);
  }

  async setInterlocks(locks: VirtualInterlocks): Promise<void> {
    await this.#need().rig.setInterlocks(locks);
  }

  async fitDivider(lossDb: 20 | 40 | 60 | null): Promise<void> {
    await this.#need().rig.fitDivider(lossDb);
  }

  /** Cuts the fader in the virtual clamp. */
  async applyCuts(cuts: readonly Cut[], toolId: string): Promise<{ applied: number }> {
    const { rig, loaded } = this.#loaded();
    await rig.applyCuts(loaded, cuts, toolId);
    return { applied: cuts.length };
  }

  /** One cut that goes on getting deeper until called off; null = called off. */
  async cutLive(cut: CommandInput<'virtual.cutLive'>['cut']): Promise<void> {
    const { rig, loaded } = this.#loaded();
    if (cut === null) return rig.cutLive(loaded, null);
    const { timeFactor } = this.#need();
    const { side, fromMm, toMm, depthMmPerS, toolId } = cut;
    const shave = { kind: 'shave', side, fromMm, toMm, depthMm: deepestLiveMm } as const;
    return rig.cutLive(loaded, { cut: shave, toolId, rateMmPerS: depthMmPerS / timeFactor });
  }

  async stop(): Promise<void> {
    const running = this.#running;
    this.#running = null;
    await running?.rig.stop();
    if (running !== null) this.#onChange();
  }

  /** Null = a virtual rig can be served on a pseudo-terminal here, else why not. */
  ptyProblem(): Promise<string | null> {
    return ptyProblem();
  }

  #loaded(): { rig: ServedRig; loaded: number } {
    const { rig, loaded } = this.#need();
    if (loaded === null) throw new VirtualRigError('No fader is in the virtual clamp. Measure one first.');
    return { rig, loaded };
  }

  #need(): Running {
    if (this.#running === null) throw new VirtualRigError('No virtual rig is served. Start one first.');
    return this.#running;
  }
}

async function parameterText(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    throw new VirtualRigError(
      `The numbers of the virtual rig cannot be read from ${path}: ${diskWords(error)}. Check the name.`,
      { cause: error },
    );
  }
}
