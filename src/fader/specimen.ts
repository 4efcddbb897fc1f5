import type { Fault } from './faults.ts';
import type { SheetPosition } from './sheet.ts';
import type { Track } from './track.ts';

/** One contact finger. */
export interface Finger {
  /** Contact resistance on a clean track, ohm; null = the finger is lost and carries nothing. */
  readonly ohm: number | null;
  /** Place along travel relative to the wiper's middle, mm. */
  readonly offsetMm: number;
  /** This finger's share of the film, 0.5..1.5. */
  readonly filmShare: number;
}

export interface Wiper {
  readonly fingers: readonly Finger[];
  /** Contact resistance added by film at rest, as a fraction of the clean one; gone after `strokesToClean` full strokes. */
  readonly filmFraction: number;
  readonly strokesToClean: number;
  /** Relative sd of each finger's resistance along travel, its correlation length, and the variance share that is repeatable. */
  readonly scatterSd: number;
  readonly scatterCorrelationMm: number;
  readonly scatterRepeatableShare: number;
  readonly dayToDaySd: number;
  /** Names this fader's repeatable noise. */
  readonly noiseSeed: number;
  /** Stretch of heavier scatter, or null. */
  readonly worn: { readonly fromMm: number; readonly toMm: number; readonly scatterFactor: number } | null;
  /** Insulating speck, or null: where it lies at first, its length, the contact resistance it makes. */
  readonly dirt: {
    readonly atMm: number;
    readonly lengthMm: number;
    readonly ohm: number;
    readonly vanishChance: number;
  } | null;
  /** Lifting, or null: dropouts per mm of travel at 100 mm/s (proportional to speed) and their mean length. */
  readonly lifting: { readonly perMm: number; readonly lengthMm: number } | null;
}

export interface Slide {
  /** Stop to stop, mm. */
  readonly travelMm: number;
  /** Free travel between knob and wiper, mm. */
  readonly playMm: number;
  readonly frictionN: number;
  readonly frictionRipple: number;
  /** How far the wiper hangs back before it jumps, mm; 0 = it slides. */
  readonly stickSlipMm: number;
}

/** A fader with everything that is true of it. Resistances at the reference temperature. */
export interface Specimen {
  /** Place in its population, 0, 1, 2 ... */
  readonly index: number;
  readonly serial: string;
  readonly sheet: SheetPosition;
  /** How its sheet was made: deviations of powder mass and cure time. */
  readonly process: { readonly powderPercent: number; readonly cureSeconds: number };
  readonly track: Track;
  readonly ends: {
    readonly closedOhm: number;
    readonly openOhm: number;
    readonly commonLeadOhm: number;
    readonly swapped: boolean;
  };
  readonly wiper: Wiper;
  readonly slide: Slide;
  /** How it sits in the clamp; not a property of the fader, so the truth does not contain it. */
  readonly clamping: { readonly shiftMm: number; readonly giveMm: number };
  readonly faults: readonly Fault[];
}
