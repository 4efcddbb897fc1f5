/** What cuts do to the cells of a track, and which cut does what is wanted. Gain 1: the tool cuts what it is set to. */
import { addedPieces, shareBetween } from './added-squares.ts';
import { deepestMm, gradeOf, meanGrade } from './local-film.ts';
import { laserKerfMm } from './squares.ts';
import type { Cut, CutSide, CuttingRules, TrackProfile } from './trim.ts';

/** Share of the room beside the swath that is never planned away: a tool may cut deeper than it is set. Estimate. */
const spareShare = 0.2;
/** A shave keeps this clear of the taps where the cell is long enough, mm; at least 1.5 sd of the tool's place. */
const tapMarginMm = 1;
/** Shorter than this there is only place for a plunge, mm. */
const shortestShaveMm = 1;
/** Beyond this distance, in widths, a cut adds nothing that could be measured (exp(-2 pi 1.5) = 0.01 %). */
const reachWidths = 1.5;
/** Farther than any cut reaches, mm. */
const farMm = 1_000;

/** Film that a cut takes away, mm2. */
export function removedMm2(cut: Cut): number {
  return cut.kind === 'shave' ? cut.depthMm * (cut.toMm - cut.fromMm) : cut.depthMm * laserKerfMm.thickFilm;
}

/**
 * What a cut adds to every cell, ohm, one number per cell. `profile` = the track as measured with `existingCuts` made
 * and `cut` not yet. Cuts at one place add up to the same in any order.
 * @throws CutGeometryError when the cut would leave no film
 */
export function addedOhmPerCell(
  cut: Cut,
  profile: TrackProfile,
  rules: CuttingRules,
  existingCuts: readonly Cut[],
): number[] {
  return profile.cells.map((_, index) => addedOhmInCell(cut, index, profile, rules, existingCuts));
}

/**
 * What may still be added to a cell, ohm: until it has grown by the allowed fraction or the room beside the swath is used
 * up on both sides. 0 = nothing, also where no cut fits.
 */
export function mostAddedOhm(
  cellIndex: number,
  profile: TrackProfile,
  rules: CuttingRules,
  existingCuts: readonly Cut[],
): number {
  const cell = profile.cells[cellIndex];
  if (!cell || !(cell.ohm > 0)) return 0;
  const uncut = uncutOhm(cellIndex, profile, rules, existingCuts);
  const mayGrowOhm = uncut * (1 + rules.mostGrowth) - filmPartOhm(cellIndex, profile);
  return Math.max(0, Math.min(mayGrowOhm, roomOhm(cellIndex, profile, rules, existingCuts)));
}

/**
 * The cut that adds about `addedOhm` to a cell, its depth rounded down to the tool's step, so it never adds more. One
 * shave over most of the cell on the side with more room, clear of the taps; a second one on the other side when the first
 * is used up; a plunge in the middle when the cell is too short. More than there is room for gives what there is.
 *
 * @param number of the first cut; a second one gets the next
 * @returns null when nothing can be done: no resistance, no room, or less wanted than the smallest step adds
 */
export function cutForAddedOhm(
  cellIndex: number,
  addedOhm: number,
  profile: TrackProfile,
  rules: CuttingRules,
  existingCuts: readonly Cut[],
  number: number,
): Cut | Cut[] | null {
  const place = placeFor(cellIndex, profile, rules);
  if (!place || !(addedOhm > 0)) return null;
  const cuts: Cut[] = [];
  let missing = addedOhm;
  for (const side of sidesByRoom(place, existingCuts)) {
    const before = [...existingCuts, ...cuts];
    const stepsLeft = roomSteps(place, side, rules, before);
    const attempt = (steps: number): Cut =>
      makeCut(place, side, steps * rules.depthStepMm, cellIndex, number + cuts.length);
    // The resistance per square is that of the track as measured, so it must not count the first side twice.
    const adds = (steps: number): number =>
      steps === 0 ? 0 : addedOhmInCell(attempt(steps), cellIndex, profile, rules, before, existingCuts);
    const steps = mostSteps(stepsLeft, (count) => adds(count) <= missing);
    if (steps === 0) continue;
    cuts.push(attempt(steps));
    missing -= adds(steps);
    if (steps < stepsLeft) break;
  }
  const [first] = cuts;
  if (!first) return null;
  return cuts.length === 1 ? first : cuts;
}

/** Where a cut of a cell lies: a stretch for a shave, or one place for a plunge. */
interface CutPlace {
  readonly kind: Cut['kind'];
  readonly fromMm: number;
  readonly toMm: number;
}

function placeFor(cellIndex: number, profile: TrackProfile, rules: CuttingRules): CutPlace | null {
  const cell = profile.cells[cellIndex];
  if (!cell || !(filmPartOhm(cellIndex, profile) > 0)) return null;
  const { placeSdMm, endMarginMm } = rules;
  const lengthMm = cell.toMm - cell.fromMm;
  const wished = Math.min(tapMarginMm, lengthMm / 6);
  const marginMm = Math.max(wished, 1.5 * placeSdMm);
  const fromMm = Math.max(cell.fromMm + marginMm, rules.closedEdgeMm + endMarginMm);
  const toMm = Math.min(cell.toMm - marginMm, rules.openEdgeMm - endMarginMm);
  if (toMm - fromMm >= shortestShaveMm) return { kind: 'shave', fromMm, toMm };
  if (toMm < fromMm) return null;
  const middleMm = (fromMm + toMm) / 2;
  return { kind: 'plunge', fromMm: middleMm, toMm: middleMm };
}

function makeCut(place: CutPlace, side: CutSide, depthMm: number, cellIndex: number, number: number): Cut {
  const { fromMm, toMm } = place;
  if (place.kind === 'plunge') return { kind: 'plunge', number, cellIndex, side, atMm: fromMm, depthMm };
  return { kind: 'shave', number, cellIndex, side, fromMm, toMm, depthMm };
}

function sidesByRoom(place: CutPlace, cuts: readonly Cut[]): readonly CutSide[] {
  const left = deepestMm(cuts, 'left', place.fromMm, place.toMm);
  const right = deepestMm(cuts, 'right', place.fromMm, place.toMm);
  return right < left ? ['right', 'left'] : ['left', 'right'];
}

/** Whole steps of depth that a side has left. */
function roomSteps(place: CutPlace, side: CutSide, rules: CuttingRules, cuts: readonly Cut[]): number {
  const deepest = ((rules.widthMm - rules.swathMm) / 2) * (1 - spareShare);
  const leftMm = deepest - deepestMm(cuts, side, place.fromMm, place.toMm);
  return Math.max(0, Math.floor(leftMm / rules.depthStepMm + 1e-9));
}

/** Largest count up to `most` for which `fits` holds; it must hold for all smaller ones too. */
function mostSteps(most: number, fits: (count: number) => boolean): number {
  let low = 0;
  let high = most;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (fits(middle)) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** What is added to a cell when both sides are cut as deep as may be, ohm. */
function roomOhm(cellIndex: number, profile: TrackProfile, rules: CuttingRules, existingCuts: readonly Cut[]): number {
  const place = placeFor(cellIndex, profile, rules);
  if (!place) return 0;
  const cuts: Cut[] = [];
  let sum = 0;
  for (const side of ['left', 'right'] as const) {
    const before = [...existingCuts, ...cuts];
    const steps = roomSteps(place, side, rules, before);
    if (steps === 0) continue;
    const cut = makeCut(place, side, steps * rules.depthStepMm, cellIndex, 0);
    sum += addedOhmInCell(cut, cellIndex, profile, rules, before, existingCuts);
    cuts.push(cut);
  }
  return sum;
}

/**
 * @param earlier cuts that have shaped the film when this one is made
 * @param measured cuts that the profile was measured with
 */
function addedOhmInCell(
  cut: Cut,
  cellIndex: number,
  profile: TrackProfile,
  rules: CuttingRules,
  earlier: readonly Cut[],
  measured: readonly Cut[] = earlier,
): number {
  const weight = squaresIn(cut, cellIndex, profile, rules, earlier);
  return weight === 0 ? 0 : weight * sheetOhm(cellIndex, profile, rules, measured);
}

/** Squares that a cut adds within a cell, weighted with the grade of the film there. */
function squaresIn(
  cut: Cut,
  cellIndex: number,
  profile: TrackProfile,
  rules: CuttingRules,
  earlier: readonly Cut[],
): number {
  const grade = gradeOf(profile, cellIndex);
  if (!grade || !isNear(cut, grade.fromMm, grade.toMm, rules)) return 0;
  const [fromMm, toMm] = extentMm(cut);
  const near = earlier.filter((other) => isNear(other, fromMm, toMm, rules));
  return addedPieces(cut, rules, near).reduce((sum, piece) => {
    const clamp = (mm: number): number => Math.min(Math.max(mm, grade.fromMm), grade.toMm);
    // The conductors mirror what would reach beyond the track, so the end cells have all of it.
    const fromMm = cellIndex === 0 ? grade.fromMm - farMm : grade.fromMm;
    const toMm = cellIndex === profile.cells.length - 1 ? grade.toMm + farMm : grade.toMm;
    const share = shareBetween(piece, rules, fromMm, toMm);
    return sum + piece.squares * share * meanGrade(grade, clamp(piece.fromMm), clamp(piece.toMm));
  }, 0);
}

function extentMm(cut: Cut): readonly [number, number] {
  return cut.kind === 'shave' ? [cut.fromMm, cut.toMm] : [cut.atMm, cut.atMm];
}

function isNear(cut: Cut, fromMm: number, toMm: number, rules: CuttingRules): boolean {
  const [a, b] = extentMm(cut);
  const reachMm = reachWidths * rules.widthMm;
  return a < toMm + reachMm && b > fromMm - reachMm;
}

/**
 * The film's part of a cell, ohm: the end cells hold the end contacts and the common lead too, which show on the stops.
 * Without a ratio there the whole cell counts as film, which promises too much of a cut in it.
 */
function filmPartOhm(cellIndex: number, profile: TrackProfile): number {
  const { cells, totalOhm, closedRatio, openRatio } = profile;
  const ohm = cells[cellIndex]?.ohm ?? 0;
  const closedOhm = cellIndex === 0 && closedRatio !== undefined ? closedRatio * totalOhm : 0;
  const openOhm = cellIndex === cells.length - 1 && openRatio !== undefined ? (1 - openRatio) * totalOhm : 0;
  return Math.max(0, ohm - closedOhm - openOhm);
}

/** Mean resistance per square of a cell's uncut film, ohm: what was measured, less what the cuts have added. */
function sheetOhm(cellIndex: number, profile: TrackProfile, rules: CuttingRules, cuts: readonly Cut[]): number {
  const cell = profile.cells[cellIndex];
  if (!cell) return 0;
  const near = cuts.filter((cut) => isNear(cut, cell.fromMm, cell.toMm, rules));
  const cutSquares = near.reduce((sum, cut, i) => sum + squaresIn(cut, cellIndex, profile, rules, near.slice(0, i)), 0);
  return filmPartOhm(cellIndex, profile) / ((cell.toMm - cell.fromMm) / rules.widthMm + cutSquares);
}

function uncutOhm(cellIndex: number, profile: TrackProfile, rules: CuttingRules, cuts: readonly Cut[]): number {
  const cell = profile.cells[cellIndex];
  if (!cell) return 0;
  return (sheetOhm(cellIndex, profile, rules, cuts) * (cell.toMm - cell.fromMm)) / rules.widthMm;
}
