import type { TargetProfile } from './target-profile.ts';

/** Three inks; ink 0 is nearest the closed end. */
export type Ink = 0 | 1 | 2;

/** A printed track as a chain of cells between the two conductors. Resistances at the reference temperature. */
export interface Track {
  readonly closedEdgeMm: number;
  readonly openEdgeMm: number;
  /** Cell bounds, rising, n + 1 of them; the first is the closed edge, the last the open edge. */
  readonly boundaryMm: Float64Array;
  /** Film resistance from the closed edge up to each bound, ohm. */
  readonly cumulativeOhm: Float64Array;
  /** Real joints between the inks, mm, and the film resistance below each, ohm. */
  readonly jointMm: readonly [number, number];
  readonly jointOhm: readonly [number, number];
  /** Relative change per kelvin of each ink. */
  readonly tcrPerK: readonly [number, number, number];
}

export interface TrackRecipe {
  readonly target: TargetProfile;
  /** Film resistance the artwork gives when nothing deviates, ohm. */
  readonly nominalOhm: number;
  readonly closedEdgeMm: number;
  readonly openEdgeMm: number;
  readonly nominalJointMm: readonly [number, number];
  readonly jointMm: readonly [number, number];
  readonly tcrPerK: readonly [number, number, number];
  /** Resistance of the print relative to the artwork at a place, for the ink lying there. */
  factorAt(travelMm: number, ink: Ink): number;
  /** Further places where the factor jumps; cells are bounded there. */
  readonly breakMm: readonly number[];
}

const cellMm = 0.05;

export function inkAt(travelMm: number, jointMm: readonly [number, number]): Ink {
  if (travelMm < jointMm[0]) return 0;
  return travelMm < jointMm[1] ? 1 : 2;
}

/** Prints the track. Where a shifted joint puts the wrong ink, that ink's film is continued with its grading at the joint. */
export function printTrack(recipe: TrackRecipe): Track {
  const { closedEdgeMm, openEdgeMm, jointMm } = recipe;
  const boundaryMm = bounds(recipe);
  const cumulativeOhm = new Float64Array(boundaryMm.length);
  const jointOhm: [number, number] = [0, 0];
  let sum = 0;
  for (let i = 1; i < boundaryMm.length; i++) {
    const fromMm = boundaryMm[i - 1] ?? 0;
    const toMm = boundaryMm[i] ?? 0;
    const middleMm = (fromMm + toMm) / 2;
    const ink = inkAt(middleMm, jointMm);
    const share = shareOfTarget(recipe, fromMm, toMm, ink);
    sum += recipe.nominalOhm * share * recipe.factorAt(middleMm, ink);
    cumulativeOhm[i] = sum;
    if (toMm <= jointMm[0]) jointOhm[0] = sum;
    if (toMm <= jointMm[1]) jointOhm[1] = sum;
  }
  return {
    closedEdgeMm,
    openEdgeMm,
    boundaryMm,
    cumulativeOhm,
    jointMm: recipe.jointMm,
    jointOhm,
    tcrPerK: recipe.tcrPerK,
  };
}

/** Change of the target ratio over a cell; outside the artwork or the ink's own zone the nearest slope is continued. */
function shareOfTarget(recipe: TrackRecipe, fromMm: number, toMm: number, ink: Ink): number {
  const { target, nominalJointMm } = recipe;
  const lowMm = Math.max(target.closedEdgeMm, ink === 0 ? target.closedEdgeMm : (nominalJointMm[ink - 1] ?? 0));
  const highMm = Math.min(target.openEdgeMm, ink === 2 ? target.openEdgeMm : (nominalJointMm[ink] ?? 0));
  const middleMm = (fromMm + toMm) / 2;
  if (middleMm >= lowMm && middleMm <= highMm) return target.ratioAt(toMm) - target.ratioAt(fromMm);
  const slope =
    middleMm < lowMm
      ? (target.ratioAt(lowMm + cellMm) - target.ratioAt(lowMm)) / cellMm
      : (target.ratioAt(highMm) - target.ratioAt(highMm - cellMm)) / cellMm;
  return slope * (toMm - fromMm);
}

function bounds(recipe: TrackRecipe): Float64Array {
  const { closedEdgeMm, openEdgeMm, target } = recipe;
  const extra = [...target.cornerMm, ...recipe.nominalJointMm, ...recipe.jointMm, ...recipe.breakMm].filter(
    (mm) => mm > closedEdgeMm && mm < openEdgeMm,
  );
  const grid: number[] = [closedEdgeMm, openEdgeMm, ...extra];
  const last = Math.ceil(openEdgeMm / cellMm) - 1;
  for (let k = Math.floor(closedEdgeMm / cellMm) + 1; k <= last; k++) grid.push(k * cellMm);
  const sorted = Float64Array.from(grid).sort();
  // Bounds closer than a nanometre are one bound.
  return sorted.filter((mm, i) => i === 0 || mm - (sorted[i - 1] ?? 0) > 1e-6 || mm === openEdgeMm);
}

/** Film resistance from the closed edge up to a place, ohm, `deltaK` above the reference temperature. */
export function filmOhmBelow(track: Track, placeMm: number, deltaK = 0): number {
  const cold = coldOhmBelow(track, placeMm);
  if (deltaK === 0) return cold;
  const [jointA, jointB] = track.jointOhm;
  const inFirst = Math.min(cold, jointA);
  const inSecond = Math.min(Math.max(cold - jointA, 0), jointB - jointA);
  const inThird = Math.max(cold - jointB, 0);
  const [a, b, c] = track.tcrPerK;
  return inFirst * (1 + a * deltaK) + inSecond * (1 + b * deltaK) + inThird * (1 + c * deltaK);
}

/** Film resistance from edge to edge, ohm. */
export function filmOhm(track: Track, deltaK = 0): number {
  return filmOhmBelow(track, track.openEdgeMm, deltaK);
}

function coldOhmBelow(track: Track, placeMm: number): number {
  const { boundaryMm, cumulativeOhm } = track;
  if (placeMm <= track.closedEdgeMm) return 0;
  let low = 0;
  let high = boundaryMm.length - 1;
  if (placeMm >= track.openEdgeMm) return cumulativeOhm[high] ?? 0;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((boundaryMm[middle] ?? 0) <= placeMm) low = middle;
    else high = middle;
  }
  const fromMm = boundaryMm[low] ?? 0;
  const toMm = boundaryMm[high] ?? 0;
  const below = cumulativeOhm[low] ?? 0;
  return below + (((cumulativeOhm[high] ?? 0) - below) * (placeMm - fromMm)) / (toMm - fromMm);
}
