import type { Law } from './build.ts';
import { between, contactAt, placeOf, pointAt, shiftedLoss } from './curve.ts';
import type { LawPoint } from './law.ts';

/** What a law allows at one travel, as limits of the deviation (measured loss minus law loss). */
export interface LawBand {
  /** Loss the law asks for, dB. */
  readonly lossDb: number;
  /** Lowest allowed deviation, dB, < 0 (louder than the law). */
  readonly lowerDb: number;
  /** Highest allowed deviation, dB, > 0 (quieter); `null` = any greater loss is allowed. */
  readonly upperDb: number | null;
}

/**
 * The tolerance band at any travel.
 *
 * Between points the tolerances run straight from one point to the next; where one of the two is one-sided the
 * stretch between them is one-sided too. A travel tolerance t lets the whole curve lie up to t to either side, so
 * it adds what the law itself falls or rises over t (local slope times t, the slope of each side counted on its
 * side): `upper = plus + loss(x - t) - loss(x)`, `lower = -minus + loss(x + t) - loss(x)`. Both kinds of tolerance
 * are limits, so they add in full, not as squares.
 *
 * @param travelMm from the closed end
 * @returns `null` = outside the range of the points: the law sets no band there and nothing may be judged
 */
export function bandAt(law: Law, travelMm: number): LawBand | null {
  const spot = tolerancesAt(law, travelMm);
  if (spot === null) return null;
  const { lossDb, minusDb, plusDb, travelTolMm } = spot;
  const towardsOpenDb = travelTolMm === 0 ? 0 : shiftedLoss(law, travelMm + travelTolMm) - lossDb;
  const towardsClosedDb = travelTolMm === 0 ? 0 : shiftedLoss(law, travelMm - travelTolMm) - lossDb;
  return {
    lossDb,
    lowerDb: -minusDb + towardsOpenDb,
    upperDb: plusDb === null ? null : plusDb + towardsClosedDb,
  };
}

/** The band on a point of the law, by index. */
export function bandOfPoint(law: Law, pointIndex: number): LawBand {
  const band = bandAt(law, pointAt(law.points, pointIndex).travelMm);
  if (band === null) throw new RangeError(`Point ${pointIndex} of the law lies outside its own points.`);
  return band;
}

interface Tolerances {
  readonly lossDb: number;
  readonly minusDb: number;
  readonly plusDb: number | null;
  readonly travelTolMm: number;
}

function ofPoint(point: LawPoint): Tolerances {
  // An absent travel tolerance is stated to be 0: no widening.
  return { ...point, travelTolMm: point.travelTolMm ?? 0 };
}

function tolerancesAt(law: Law, travelMm: number): Tolerances | null {
  const { points } = law;
  if (law.interpolation === 'stepped') {
    const contact = contactAt(law, travelMm);
    return contact === null ? null : ofPoint(pointAt(points, contact));
  }
  const place = placeOf(points, travelMm);
  if (place === null) return null;
  const low = ofPoint(pointAt(points, place.low));
  const high = ofPoint(pointAt(points, place.high));
  return {
    lossDb: between(low.lossDb, high.lossDb, place.share),
    minusDb: between(low.minusDb, high.minusDb, place.share),
    plusDb: low.plusDb === null || high.plusDb === null ? null : between(low.plusDb, high.plusDb, place.share),
    travelTolMm: between(low.travelTolMm, high.travelTolMm, place.share),
  };
}
