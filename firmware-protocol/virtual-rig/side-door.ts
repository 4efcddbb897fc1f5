import type { FilmCut } from '../../src/fader/cuts.ts';
import type { Fault } from '../../src/fader/faults.ts';
import type { Certificate } from './certificate.ts';
import type { Disturbance } from './disturbance.ts';
import type { ToolCut } from './tool.ts';
import type { StationFault } from './traits.ts';

/** Truth about one fader as plain numbers: what an ideal instrument would find. */
export interface FaderTruth {
  readonly index: number;
  readonly serial: string;
  readonly faults: readonly Fault[];
  /** Cuts as they really came out, in order. */
  readonly cuts: readonly FilmCut[];
  readonly totalOhm: number;
  readonly closedEndMm: number;
  readonly openEndMm: number;
  readonly playMm: number;
  /** Loss at each asked travel, knob arriving upward, downward, and the mean of both in dB. */
  readonly points: readonly {
    readonly travelMm: number;
    readonly upDb: number;
    readonly downDb: number;
    readonly meanDb: number;
  }[];
}

/** The rig at this moment, seen from outside. Times are rig clock, us. */
export interface RigMoment {
  readonly clockUs: number;
  readonly positionUm: number;
  readonly speedUmPerS: number;
  readonly moving: boolean;
  readonly powered: boolean;
  readonly homed: boolean;
  /** When the last valid line of the station came. */
  readonly lastLineUs: number;
  /** When the last motion came or will come to rest. */
  readonly restUs: number;
  readonly guardClosed: boolean;
  readonly emergencyStopReleased: boolean;
  readonly clampClosed: boolean;
  readonly pluggedIn: boolean;
  readonly fader: { readonly index: number; readonly serial: string } | null;
  readonly faders: number;
}

/** One order that was carried out; the same session and number twice would be a defect. */
export interface Execution {
  readonly session: number;
  readonly number: number;
  readonly word: string;
}

/** What a person at the bench, or a test, can do to the rig. The station never sees it. */
export interface SideDoor {
  /** Puts this fader of the batch in. @throws SideDoorError `faderUnknown`, `rigMoving` */
  load(index: number): { readonly index: number; readonly serial: string };
  /** Takes the fader out. @throws SideDoorError `rigMoving` */
  unload(): void;
  /** The fader after the present one; the first when none is in. */
  next(): { readonly index: number; readonly serial: string };
  /** @throws SideDoorError `faderUnknown` */
  serialOf(index: number): string;
  /** Serial numbers of the whole batch, in order. */
  serials(): readonly string[];
  setGuard(closed: boolean): void;
  setEmergencyStop(released: boolean): void;
  setClamp(closed: boolean): void;
  /** Plugs in an exact 10 kohm reference divider of this loss instead of the fader; null = the fader again. */
  fitDivider(lossDb: 20 | 40 | 60 | null): void;
  setAutoNext(on: boolean): void;
  setStationFault(fault: StationFault, on: boolean): void;
  setDisturbance(change: Partial<Disturbance>): void;
  unplug(): void;
  plug(): void;
  /** Switches the rig off and on. */
  restart(): void;
  certificate(madeAt: string, dueAt: string): Certificate;
  /**
   * Cuts a fader with this tool, which has a gain, a scatter and a place error of its own. All cuts or none; they stay with
   * the fader until the rig ends. @throws SideDoorError `faderUnknown`, `cutImpossible`, `rigMoving`
   */
  applyCuts(index: number, cuts: readonly ToolCut[], toolId: string): void;
  /**
   * Begins one cut that deepens by the set rate (mm per second of rig time) up to the depth asked for, so that readings
   * change while it goes on. @throws SideDoorError as `applyCuts`, and `cuttingAlready`
   */
  startCutting(index: number, cut: ToolCut, toolId: string, rateMmPerS: number): void;
  /** Ends it; what was cut stays. @returns the true depth reached, mm; null = nothing was being cut */
  stopCutting(): number | null;
  truth(index: number, travelsMm: readonly number[]): FaderTruth;
  moment(): RigMoment;
  executions(): readonly Execution[];
}

/** The side door cannot do that now. */
export class SideDoorError extends Error {
  override readonly name = 'SideDoorError';
  readonly code: 'faderUnknown' | 'rigMoving' | 'cutImpossible' | 'cuttingAlready';
  readonly userFixable = true;

  constructor(code: SideDoorError['code'], message: string) {
    super(message);
    this.code = code;
  }
}
