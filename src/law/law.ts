/**
 * What a fader should do: loss against travel.
 *
 * Travel is in millimetres from the closed end, loss in dB (>= 0, bigger is quieter):
 * `lossDb = -20 log10(Vwiper / Vtrack)`. Deviation = measured loss minus law loss, so a positive
 * deviation means the fader is quieter than the law.
 */

/** One specified place of a law. */
export interface LawPoint {
  /** Travel from the closed end, mm. */
  readonly travelMm: number;
  /** Loss the law asks for there, dB. */
  readonly lossDb: number;
  /** How much less loss is allowed, dB (> 0). */
  readonly minusDb: number;
  /** How much more loss is allowed, dB (> 0); `null` = any greater loss is allowed ("at or below" points near closed). */
  readonly plusDb: number | null;
  /** Travel tolerance, mm (>= 0); widens the band by the law's local slope. Absent = 0. */
  readonly travelTolMm?: number;
}

/** A text of the printed scale at a travel. */
export interface LawMark {
  readonly travelMm: number;
  readonly text: string;
}

/** How loss runs between points: straight in dB, or constant on each contact of a stepped fader. */
export type LawInterpolation = 'dbLinear' | 'stepped';

/** A whole law as plain data: what a law file holds, what the archive stores, what crosses process boundaries. */
export interface LawData {
  /** Part or law name, e.g. `PF-104`. */
  readonly id: string;
  /** Revision, 1, 2, 3 ... Frozen once anything was measured against it. */
  readonly revision: number;
  readonly title: string;
  /** Nominal mechanical travel, mm, stop to stop. */
  readonly travelMm: number;
  /** Ordered by rising travel. At least two. */
  readonly points: readonly LawPoint[];
  /** With the knob on the closed stop the loss must be at least this, dB. */
  readonly closedMinLossDb: number;
  /** With the knob on the open stop the loss must be at most this, dB. */
  readonly openMaxLossDb: number;
  /** Track resistance between the end terminals. `toleranceFraction` 0.2 = +-20 %. */
  readonly resistance: { readonly nominalOhm: number; readonly toleranceFraction: number };
  /** Load at the wiper for which the law is stated, ohm; `null` = unloaded. */
  readonly loadOhm: number | null;
  readonly interpolation: LawInterpolation;
  readonly marks: readonly LawMark[];
  /** Limits of the other tests; absent = not limited by this law. */
  readonly limits: { readonly maxPlayMm?: number };
}
