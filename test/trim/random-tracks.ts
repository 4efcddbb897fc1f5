/** Random tracks for the planner's tests, in plain ohms. */
import { Random } from '../../src/fader/random.ts';
import type { Law } from '../../src/law/build.ts';
import { ratioFromLoss } from '../../src/law/decibel.ts';
import { trimLimits } from '../../src/trim/bands.ts';
import { profileOfTaps } from '../../src/trim/cells.ts';
import type { TrimProblem } from '../../src/trim/programme.ts';
import type { TrackProfile } from '../../src/trim/trim.ts';

export const ends = { closedEdgeMm: 0.8, openEdgeMm: 102.9 };

/** A track whose cells deviate from the law by a level, a slope and cell by cell, printed low. */
export function randomTrack(law: Law, seed: number, spread = 1, uDb = 0): TrackProfile {
  const random = new Random(seed);
  const ratios = law.points.map((point) => ratioFromLoss(point.lossDb));
  const level = 0.85 * (1 + 0.12 * spread * random.bounded(0, 1));
  const slope = 0.08 * spread * random.bounded(0, 1);
  const cells = [...ratios, 1].map((ratio, i) => {
    const share = ratio - (i === 0 ? 0 : (ratios[i - 1] ?? 0));
    const factor = 1 + slope * (i / ratios.length - 0.5) + 0.06 * spread * random.bounded(0, 1);
    return law.resistance.nominalOhm * level * share * Math.max(0.1, factor);
  });
  return trackOfCells(law, cells, uDb);
}

/** A track with given cells; every tap known to `uDb` (standard), the total to 0.05 %. */
export function trackOfCells(law: Law, cellOhm: readonly number[], uDb = 0): TrackProfile {
  const totalOhm = cellOhm.reduce((sum, ohm) => sum + ohm, 0);
  let below = 0;
  const taps = law.points.map((point, pointIndex) => {
    below += cellOhm[pointIndex] ?? 0;
    const ratio = below / totalOhm;
    return { pointIndex, travelMm: point.travelMm, ratio, uRatio: (ratio * uDb) / 8.685889638 };
  });
  return profileOfTaps(taps, totalOhm, uDb === 0 ? 0 : totalOhm * 5e-4, ends);
}

/** The planner's problem when a cell may grow by half and nothing has been cut. */
export function problemOf(profile: TrackProfile, law: Law, guard = 1, mostGrowth = 0.5): TrimProblem {
  return {
    cellOhm: profile.cells.map((cell) => cell.ohm),
    mostAddedOhm: profile.cells.map((cell) => cell.ohm * mostGrowth),
    filmMm2: profile.cells.map((cell) => 4 * (cell.toMm - cell.fromMm)),
    limits: trimLimits(law, profile, guard),
  };
}
