import type { Law } from './build.ts';
import type { LawPoint } from './law.ts';

/** Where a travel lies among the points: between `low` and `high` (`share` 0..1 of the way), or on one of them. */
export interface LawPlace {
  /** Index of the point at or below the travel. */
  readonly low: number;
  /** Index of the point above; equals `low` when the travel is exactly on a point. */
  readonly high: number;
  readonly share: number;
}

/** Finds a travel among the points; `null` = outside their range. */
export function placeOf(points: readonly LawPoint[], travelMm: number): LawPlace | null {
  const first = points[0];
  const last = points.at(-1);
  if (first === undefined || last === undefined) return null;
  // Written so that NaN counts as outside.
  if (!(travelMm >= first.travelMm && travelMm <= last.travelMm)) return null;
  let low = 0;
  let high = points.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (pointAt(points, middle).travelMm <= travelMm) low = middle;
    else high = middle;
  }
  const from = pointAt(points, low).travelMm;
  const to = pointAt(points, high).travelMm;
  if (travelMm === from) return { low, high: low, share: 0 };
  if (travelMm === to) return { low: high, high, share: 0 };
  return { low, high, share: (travelMm - from) / (to - from) };
}

/** Value a share of the way from one number to another. */
export function between(from: number, to: number, share: number): number {
  return from + (to - from) * share;
}

/** A point by an index known to exist. */
export function pointAt(points: readonly LawPoint[], index: number): LawPoint {
  const point = points[index];
  if (point === undefined) throw new RangeError(`The law has no point with index ${index}.`);
  return point;
}

/**
 * The contact of a stepped law a travel lies on: the nearest one, exactly half way the one nearer the closed
 * end. The outermost contacts reach half their neighbour's distance beyond their middle.
 *
 * @returns index of the point, `null` = beyond the outermost contacts
 */
export function contactAt(law: Law, travelMm: number): number | null {
  const { points } = law;
  const lastIndex = points.length - 1;
  const first = pointAt(points, 0).travelMm;
  const last = pointAt(points, lastIndex).travelMm;
  const reachLow = (pointAt(points, 1).travelMm - first) / 2;
  const reachHigh = (last - pointAt(points, lastIndex - 1).travelMm) / 2;
  if (!(travelMm >= first - reachLow && travelMm <= last + reachHigh)) return null;
  if (travelMm <= first) return 0;
  if (travelMm >= last) return lastIndex;
  const place = placeOf(points, travelMm);
  if (place === null) return null;
  return place.share > 0.5 ? place.high : place.low;
}

/**
 * Loss the law asks for at a travel: straight in dB between points, constant on a contact of a stepped law.
 *
 * @param travelMm from the closed end
 * @returns dB; `null` = outside the range of the points, where the law asks for nothing (below the last
 *   finite mark there is only "at or below", never an interpolation towards silence)
 */
export function lossAt(law: Law, travelMm: number): number | null {
  const { points } = law;
  if (law.interpolation === 'stepped') {
    const contact = contactAt(law, travelMm);
    return contact === null ? null : pointAt(points, contact).lossDb;
  }
  const place = placeOf(points, travelMm);
  if (place === null) return null;
  return between(pointAt(points, place.low).lossDb, pointAt(points, place.high).lossDb, place.share);
}

/** dB per mm between two neighbouring points, >= 0. */
function slopeBetween(points: readonly LawPoint[], low: number): number {
  const from = pointAt(points, low);
  const to = pointAt(points, low + 1);
  return (from.lossDb - to.lossDb) / (to.travelMm - from.travelMm);
}

/**
 * How fast the loss falls as the fader opens, dB per mm, >= 0: what a position error of 1 mm costs.
 * On a point where two slopes meet, the steeper one (the careful choice). On a contact of a stepped law 0.
 *
 * @returns `null` = outside the range of the points
 */
export function slopeAt(law: Law, travelMm: number): number | null {
  const { points } = law;
  if (law.interpolation === 'stepped') return contactAt(law, travelMm) === null ? null : 0;
  const place = placeOf(points, travelMm);
  if (place === null) return null;
  if (place.low !== place.high) return slopeBetween(points, place.low);
  const below = place.low > 0 ? slopeBetween(points, place.low - 1) : 0;
  const above = place.low < points.length - 1 ? slopeBetween(points, place.low) : 0;
  return Math.max(below, above);
}

/**
 * Loss a little outside as well as inside the range of the points: the end stretches run on with their own
 * slope (a stepped law stays on its last contact). Only for shifting the curve by a travel tolerance.
 */
export function shiftedLoss(law: Law, travelMm: number): number {
  const { points } = law;
  const first = pointAt(points, 0);
  const lastIndex = points.length - 1;
  const last = pointAt(points, lastIndex);
  const inside = lossAt(law, travelMm);
  if (inside !== null) return inside;
  const isBelow = travelMm < first.travelMm;
  if (law.interpolation === 'stepped') return isBelow ? first.lossDb : last.lossDb;
  return isBelow
    ? first.lossDb + (first.travelMm - travelMm) * slopeBetween(points, 0)
    : last.lossDb - (travelMm - last.travelMm) * slopeBetween(points, lastIndex - 1);
}
