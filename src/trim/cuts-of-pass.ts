/** The cuts that add wanted resistances to cells, each cut's reach into the neighbours counted in. */
import { addedOhmPerCell, cutForAddedOhm, removedMm2 } from './effect.ts';
import type { Cut, CuttingRules, TrackProfile } from './trim.ts';

export interface PassCuts {
  /** Numbered on from those the piece has, from the closed end. */
  readonly cuts: readonly Cut[];
  /** What all of them add to every cell at gain 1, ohm. */
  readonly predictedOhm: readonly number[];
  readonly removalMm2: number;
}

const rounds = 4;
/** A step of the tool is about half a hundredth of a cell. */
const mostRoundedUp = 0.015;

/**
 * A cut near a tap reaches into the next cell, so what is asked of each cell is corrected until the sum of all reaches is
 * what was wanted; where the neighbours alone add more than wanted, the cell is left alone. Depths come in whole steps,
 * rounded down: what is left out is for the next pass. When every cell wants less than the tool can do, the neediest gets
 * the smallest cut there is, unless that would be more than `mostRoundedUp` of the cell.
 */
export function cutsOfPass(
  wantedOhm: readonly number[],
  profile: TrackProfile,
  rules: CuttingRules,
  existingCuts: readonly Cut[],
): PassCuts {
  const first = existingCuts.reduce((highest, cut) => Math.max(highest, cut.number), 0) + 1;
  let asked = [...wantedOhm];
  let best: PassCuts = { cuts: [], predictedOhm: wantedOhm.map(() => 0), removalMm2: 0 };
  let bestMiss = missOf(best.predictedOhm, wantedOhm, profile);
  for (let round = 0; round < rounds; round += 1) {
    const cuts: Cut[] = [];
    asked.forEach((ohm, cellIndex) => {
      if (!(ohm > 0)) return;
      const made = cutForAddedOhm(cellIndex, ohm, profile, rules, existingCuts, first + cuts.length);
      if (made !== null) cuts.push(...(Array.isArray(made) ? made : [made]));
    });
    const predictedOhm = predictCuts(cuts, profile, rules, existingCuts);
    const miss = missOf(predictedOhm, wantedOhm, profile);
    if (miss < bestMiss) {
      bestMiss = miss;
      best = { cuts, predictedOhm, removalMm2: cuts.reduce((sum, cut) => sum + removedMm2(cut), 0) };
    }
    asked = asked.map((ohm, i) => Math.max(0, ohm + (wantedOhm[i] ?? 0) - (predictedOhm[i] ?? 0)));
  }
  return best.cuts.length > 0 ? best : smallestCut(wantedOhm, profile, rules, existingCuts, first, best);
}

function smallestCut(
  wantedOhm: readonly number[],
  profile: TrackProfile,
  rules: CuttingRules,
  existingCuts: readonly Cut[],
  number: number,
  none: PassCuts,
): PassCuts {
  const need = (i: number): number => (wantedOhm[i] ?? 0) / Math.max(profile.cells[i]?.ohm ?? 0, 1e-6);
  const neediest = wantedOhm.map((_, i) => i).filter((i) => need(i) > 0);
  neediest.sort((a, b) => need(b) - need(a));
  for (const cellIndex of neediest) {
    const cellOhm = profile.cells[cellIndex]?.ohm ?? 0;
    for (let share = 0.002; share <= mostRoundedUp; share *= 1.25) {
      const made = cutForAddedOhm(cellIndex, share * cellOhm, profile, rules, existingCuts, number);
      if (made === null) continue;
      const cuts = Array.isArray(made) ? made : [made];
      const predictedOhm = predictCuts(cuts, profile, rules, existingCuts);
      return { cuts, predictedOhm, removalMm2: cuts.reduce((sum, cut) => sum + removedMm2(cut), 0) };
    }
  }
  return none;
}

/** What several cuts add to every cell at gain 1, ohm, each one finding the film as those before it have left it. */
export function predictCuts(
  cuts: readonly Cut[],
  profile: TrackProfile,
  rules: CuttingRules,
  existingCuts: readonly Cut[],
): readonly number[] {
  let now = profile;
  const made = [...existingCuts];
  for (const cut of cuts) {
    const added = addedOhmPerCell(cut, now, rules, made);
    now = { ...now, cells: now.cells.map((cell, i) => ({ ...cell, ohm: cell.ohm + (added[i] ?? 0) })) };
    made.push(cut);
  }
  return now.cells.map((cell, i) => cell.ohm - (profile.cells[i]?.ohm ?? 0));
}

/** Relative miss of all cells; a steep cell of few ohm counts as much as a large one. */
function missOf(predictedOhm: readonly number[], wantedOhm: readonly number[], profile: TrackProfile): number {
  return wantedOhm.reduce(
    (sum, ohm, i) => sum + Math.abs(ohm - (predictedOhm[i] ?? 0)) / Math.max(profile.cells[i]?.ohm ?? 0, 1e-6),
    0,
  );
}
