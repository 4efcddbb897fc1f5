/** One raw track brought in, or not, by one way of working. The ways see measurements only. */
import type { Specimen } from '../../src/fader/specimen.ts';
import { trueRatio, trueTotalOhm } from '../../src/fader/truth.ts';
import type { Law } from '../../src/law/build.ts';
import { roomOfCells } from '../../src/trim/as-cut.ts';
import { trimLimits } from '../../src/trim/bands.ts';
import { profileOfRun, profileOfTaps } from '../../src/trim/cells.ts';
import { mostAddedOhm, removedMm2 } from '../../src/trim/effect.ts';
import { isWithin } from '../../src/trim/optimum.ts';
import type { TrimProblem } from '../../src/trim/programme.ts';
import { reachOf } from '../../src/trim/reach.ts';
import type { Cut, CuttingRules, TrackProfile } from '../../src/trim/trim.ts';
import type { FaderVerdict } from '../../src/verdict/readings.ts';

export const passLimit = 3;

/** A piece in the clamp: measured, cut, measured again. Each way of working gets one of its own. */
export interface ClampedPiece {
  /** The track as it truly is now. */
  truth(): Specimen;
  /** Cuts asked for so far, and as they really came out. */
  cuts(): readonly Cut[];
  made(): readonly Cut[];
  cut(cuts: readonly Cut[]): void;
  measure(): Promise<FaderVerdict>;
}

/** What a way of working says to a measured piece. */
export type Word =
  | { readonly word: 'done' | 'hopeless' | 'refused' }
  | { readonly word: 'cut'; readonly cuts: readonly Cut[] };

export interface Way {
  /** One pass: what to cut after this measurement. Cuts already made through `piece` count too. */
  next(profile: TrackProfile, piece: ClampedPiece): Word;
  /** What the measurement after a pass teaches. */
  learn?(before: TrackProfile, after: TrackProfile, cuts: readonly Cut[], earlier: readonly Cut[]): void;
}

export interface PieceEnd {
  readonly word: 'conforms' | 'broughtIn' | 'hopeless' | 'refused' | 'passLimit' | 'notMeasured';
  readonly passes: number;
  readonly removedMm2: number;
  /** Truth at the end: every point and the total inside the bare limits; and whether it could still be reached. */
  readonly trulyInside: boolean;
  readonly stillReachable: boolean;
}

export function problemFor(
  profile: TrackProfile,
  law: Law,
  rules: CuttingRules,
  cuts: readonly Cut[],
  guard: number,
): TrimProblem {
  return {
    cellOhm: profile.cells.map((cell) => cell.ohm),
    mostAddedOhm: profile.cells.map((cell) => mostAddedOhm(cell.index, profile, rules, cuts)),
    filmMm2: profile.cells.map((cell) => rules.widthMm * (cell.toMm - cell.fromMm)),
    limits: trimLimits(law, profile, guard),
  };
}

/** The cells as they truly are, with the uncertainties of what was measured: what an all-knowing planner works from. */
export function trueProfile(specimen: Specimen, measured: TrackProfile, rules: CuttingRules): TrackProfile {
  const taps = measured.taps.map((tap) => {
    const ratio = trueRatio(specimen, tap.travelMm, 'mean');
    return { ...tap, ratio, uRatio: (ratio * tap.uRatio) / tap.ratio };
  });
  return profileOfTaps(taps, trueTotalOhm(specimen), measured.uTotalOhm, rules);
}

/** Works a piece to its end. `first` = its measurement as it came. */
export async function trimPiece(
  piece: ClampedPiece,
  way: Way,
  first: FaderVerdict,
  law: Law,
  rules: CuttingRules,
): Promise<PieceEnd> {
  const uncut = piece.truth();
  let verdict = first;
  let passes = 0;
  let before = profileOfRun(verdict, law, rules).profile;
  for (;;) {
    if (before === null) return ended('notMeasured');
    const said = way.next(before, piece);
    if (said.word === 'done') return ended(passes === 0 ? 'conforms' : 'broughtIn');
    if (said.word !== 'cut') return ended(said.word);
    if (passes === passLimit) return ended('passLimit');
    const earlier = piece.cuts();
    piece.cut(said.cuts);
    passes += 1;
    verdict = await piece.measure();
    const after = profileOfRun(verdict, law, rules).profile;
    if (after !== null) way.learn?.(before, after, said.cuts, earlier);
    before = after;
  }

  function ended(word: PieceEnd['word']): PieceEnd {
    const measured = profileOfRun(first, law, rules).profile;
    const made = piece.made();
    const removed = made.reduce((sum, cut) => sum + removedMm2(cut), 0);
    if (measured === null) return { word, passes, removedMm2: removed, trulyInside: false, stillReachable: false };
    const truth = trueProfile(piece.truth(), measured, rules);
    const uncutOhm = trueProfile(uncut, measured, rules).cells.map((cell) => cell.ohm);
    const problem = (guard: number): TrimProblem => ({
      ...problemFor(truth, law, rules, made, guard),
      mostAddedOhm: roomOfCells(truth, rules, made, uncutOhm),
    });
    return {
      word,
      passes,
      removedMm2: removed,
      trulyInside: isWithin(problem(0)),
      stillReachable: reachOf(problem(1)).reachable,
    };
  }
}
