import type { Specimen } from '../../src/fader/specimen.ts';
import { type TargetInterpolation, type TargetPoint, targetProfile } from '../../src/fader/target-profile.ts';
import { type Ink, printTrack } from '../../src/fader/track.ts';

/** A law of our own for tests: 60 dB at 10 mm, straight in dB in three pieces, open at 100 mm. */
export const testPoints: readonly TargetPoint[] = [
  { travelMm: 10, lossDb: 60 },
  { travelMm: 20.013, lossDb: 40 },
  { travelMm: 60, lossDb: 15 },
  { travelMm: 100, lossDb: 1 },
];

export const nominalOhm = 10_000;

/** A fader without any spread; `change` bends it. */
export function perfectFader(
  change: {
    points?: readonly TargetPoint[];
    interpolation?: TargetInterpolation;
    factorAt?: (travelMm: number, ink: Ink) => number;
    closedOhm?: number;
    openOhm?: number;
    specimen?: Partial<Specimen>;
  } = {},
): Specimen {
  const target = targetProfile(change.points ?? testPoints, 0.8, 102.9, change.interpolation ?? 'dbLinear');
  const track = printTrack({
    target,
    nominalOhm,
    closedEdgeMm: target.closedEdgeMm,
    openEdgeMm: target.openEdgeMm,
    nominalJointMm: [16, 52],
    jointMm: [16, 52],
    tcrPerK: [-300e-6, -290e-6, -310e-6],
    factorAt: change.factorAt ?? (() => 1),
    breakMm: [],
  });
  return {
    index: 0,
    serial: 'PF104-26-48-00001',
    sheet: { sheet: 1, place: 1, across: -0.5, along: -5 / 6, pointing: 1 },
    process: { powderPercent: 0, cureSeconds: 0 },
    track,
    ends: { closedOhm: change.closedOhm ?? 0, openOhm: change.openOhm ?? 0, commonLeadOhm: 0, swapped: false },
    wiper: {
      fingers: [{ ohm: 100, offsetMm: 0, filmShare: 1 }],
      filmFraction: 0,
      strokesToClean: 4,
      scatterSd: 0,
      scatterCorrelationMm: 0.2,
      scatterRepeatableShare: 0.5,
      dayToDaySd: 0,
      noiseSeed: 1,
      worn: null,
      dirt: null,
      lifting: null,
    },
    slide: { travelMm: 104, playMm: 0, frictionN: 0.5, frictionRipple: 0.08, stickSlipMm: 0 },
    clamping: { shiftMm: 0, giveMm: 0 },
    faults: [],
    ...change.specimen,
  };
}
