/** The cuts that add wanted resistances to cells, each cut's reach into the neighbours counted in. */
import type { Cut, CuttingRules, TrackProfile } from './trim.ts';

/** What cuts do, as the planner believes (gain 1). */
export interface CutModel {
  /** What a cut adds to every cell, ohm, given the cuts the piece has already. */
  addedOhmPerCell(
    cut: Cut,
    profile: TrackProfile,
    rules: CuttingRules,
    existingCuts: readonly Cut[],
  ): readonly number[];
  /** A cut that adds about this to a cell; null = less than the tool can do, or none left to take. */
  cutForAddedOhm(
    cellIndex: number,
    addedOhm: number,
    profile: TrackProfile,
    rules: CuttingRules,
    existingCuts: readonly Cut[],
    number: number,
  ): Cut | null;
  /** What may still be added to a cell, ohm, >= 0. */
  mostAddedOhm(cellIndex: number, profile: TrackProfile, rules: CuttingRules, existingCuts: readonly Cut[]): number;
  removedMm2(cut: Cut): number;
}

export interface PassCuts {
  readonly cuts: readonly Cut[];
  /** What all of them add to every cell at gain 1, ohm. */
  readonly predictedOhm: readonly number[];
  readonly removalMm2: number;
}

const rounds = 4;

/**
 * A cut near a tap reaches into the next cell, so what is asked of each cell is corrected until the sum of all reaches is
 * what was wanted; where the neighbours alone add more than wanted, the cell is left alone. Cuts are numbered on from
 * those the piece has, from the closed end.
 */
export function cutsOfPass(
  wantedOhm: readonly number[],
  profile: TrackProfile,
  rules: CuttingRules,
  existingCuts: readonly Cut[],
  model: CutModel,
): PassCuts {
  const first = existingCuts.reduce((highest, cut) => Math.max(highest, cut.number), 0) + 1;
  let asked = [...wantedOhm];
  let best: PassCuts = { cuts: [], predictedOhm: wantedOhm.map(() => 0), removalMm2: 0 };
  let bestMiss = Number.POSITIVE_INFINITY;
  for (let round = 0; round < rounds; round += 1) {
    const cuts: Cut[] = [];
    const predicted = wantedOhm.map(() => 0);
    asked.forEach((ohm, cellIndex) => {
      if (!(ohm > 0)) return;
      const cut = model.cutForAddedOhm(cellIndex, ohm, profile, rules, existingCuts, first + cuts.length);
      if (cut === null) return;
      cuts.push(cut);
      model.addedOhmPerCell(cut, profile, rules, existingCuts).forEach((added, i) => {
        predicted[i] = (predicted[i] ?? 0) + added;
      });
    });
    const miss = wantedOhm.reduce(
      (sum, ohm, i) => sum + Math.abs(ohm - (predicted[i] ?? 0)) / Math.max(profile.cells[i]?.ohm ?? 0, 1e-6),
      0,
    );
    if (miss < bestMiss) {
      bestMiss = miss;
      best = { cuts, predictedOhm: predicted, removalMm2: cuts.reduce((sum, cut) => sum + model.removedMm2(cut), 0) };
    }
    asked = asked.map((ohm, i) => Math.max(0, ohm + (wantedOhm[i] ?? 0) - (predicted[i] ?? 0)));
  }
  return best;
}
