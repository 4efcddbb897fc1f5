import type { FaultRanges, PartParameters } from './parameters.ts';
import type { Random } from './random.ts';

/** What a seeded fault is, as numbers. Lengths and places in mm of travel. */
export type Fault =
  | { readonly kind: 1; readonly ink: 0 | 1 | 2; readonly factor: number }
  | { readonly kind: 2; readonly fraction: number }
  | { readonly kind: 3; readonly atMm: number; readonly lengthMm: number; readonly factor: number }
  | { readonly kind: 4; readonly atMm: number; readonly lengthMm: number; readonly factor: number }
  | { readonly kind: 5; readonly end: 'closed' | 'open'; readonly ohm: number }
  | { readonly kind: 6 }
  | { readonly kind: 7; readonly factor: number }
  | {
      readonly kind: 8;
      readonly atMm: number;
      readonly lengthMm: number;
      readonly ohm: number;
      readonly vanishChance: number;
    }
  | {
      readonly kind: 9;
      readonly atMm: number;
      readonly lengthMm: number;
      readonly scatterFactor: number;
      readonly trackFraction: number;
    }
  | { readonly kind: 10; readonly perMm: number; readonly lengthMm: number }
  | { readonly kind: 11; readonly lost: number }
  | { readonly kind: 12; readonly rippleFactor: number; readonly stickSlipMm: number }
  | { readonly kind: 13; readonly playMm: number }
  | { readonly kind: 14; readonly shiftMm: number; readonly giveMm: number };

export type FaultKind = Fault['kind'];

export const faultNames: Readonly<Record<FaultKind, string>> = {
  1: 'wrong ink in one zone',
  2: 'slope along the track',
  3: 'local bump or scratch',
  4: 'over-trim',
  5: 'end contact',
  6: 'ends swapped',
  7: 'film on the contact',
  8: 'dirt',
  9: 'worn zone',
  10: 'wiper lifting',
  11: 'lost fingers',
  12: 'bearing damage',
  13: 'play',
  14: 'bad clamping',
};

export const faultKinds: readonly FaultKind[] = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14];

export function isFaultKind(value: number): value is FaultKind {
  return Number.isInteger(value) && value >= 1 && value <= 14;
}

/** Draws a fault of this kind with its severity evenly from the range. */
export function drawFault(kind: FaultKind, ranges: FaultRanges, part: PartParameters, random: Random): Fault {
  const between = (range: readonly [number, number]): number => random.uniform(range[0], range[1]);
  const placeFor = (lengthMm: number): number =>
    random.uniform(part.closedEdgeMm + lengthMm, part.openEdgeMm - lengthMm);
  const eitherWay = (factor: number): number => (random.chance(0.5) ? factor : 1 / factor);
  switch (kind) {
    case 1:
      return { kind, ink: random.pick([0, 1, 2] as const), factor: eitherWay(between(ranges.wrongInkFactor)) };
    case 2:
      return { kind, fraction: between(ranges.slopeFraction) * (random.chance(0.5) ? 1 : -1) };
    case 3: {
      const lengthMm = between(ranges.bumpLengthMm);
      return { kind, atMm: placeFor(lengthMm), lengthMm, factor: between(ranges.bumpFactor) };
    }
    case 4: {
      const lengthMm = between(ranges.overTrimLengthMm);
      return { kind, atMm: placeFor(lengthMm), lengthMm, factor: between(ranges.overTrimFactor) };
    }
    case 5:
      return { kind, end: random.pick(['closed', 'open'] as const), ohm: between(ranges.endContactOhm) };
    case 6:
      return { kind };
    case 7:
      return { kind, factor: between(ranges.filmFactor) };
    case 8: {
      const lengthMm = between(ranges.dirtLengthMm);
      const ohm = 10 ** between(ranges.dirtLogOhm);
      return { kind, atMm: placeFor(lengthMm), lengthMm, ohm, vanishChance: ranges.dirtVanishChance };
    }
    case 9: {
      const lengthMm = between(ranges.wornLengthMm);
      return {
        kind,
        atMm: placeFor(lengthMm),
        lengthMm,
        scatterFactor: between(ranges.wornScatterFactor),
        trackFraction: between(ranges.wornTrackFraction),
      };
    }
    case 10:
      return { kind, perMm: between(ranges.liftingPerMm), lengthMm: between(ranges.liftingLengthMm) };
    case 11: {
      const most = Math.min(ranges.lostFingers[1], part.fingers - 1);
      return { kind, lost: random.integer(Math.min(ranges.lostFingers[0], most), most) };
    }
    case 12:
      return { kind, rippleFactor: ranges.frictionRippleFactor, stickSlipMm: between(ranges.stickSlipMm) };
    case 13:
      return { kind, playMm: between(ranges.playMm) };
    case 14:
      return {
        kind,
        shiftMm: between(ranges.clampShiftMm) * (random.chance(0.5) ? 1 : -1),
        giveMm: between(ranges.clampGiveMm),
      };
  }
}
