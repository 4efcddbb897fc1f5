/** How steep a fader is where it was measured: what a position error costs there. */

export interface MeasuredPlace {
  readonly travelMm: number;
  /** Mean of both directions, dB; null = not measured. */
  readonly lossDb: number | null;
  /** Loss arriving up minus loss arriving down at the same travel, dB; null = not known. */
  readonly directionDifferenceDb: number | null;
  /** Slope of the law there, the steeper side, dB/mm, >= 0. */
  readonly lawSlopeDbPerMm: number;
}

/** The steeper of the chords to both measured neighbours and the law, dB/mm. */
export function chordSlope(places: readonly MeasuredPlace[], index: number): number {
  const here = places[index];
  if (here === undefined) return 0;
  let slope = here.lawSlopeDbPerMm;
  for (const neighbour of [places[index - 1], places[index + 1]]) {
    if (neighbour === undefined || here.lossDb === null || neighbour.lossDb === null) continue;
    const distanceMm = Math.abs(neighbour.travelMm - here.travelMm);
    if (distanceMm > 0) slope = Math.max(slope, Math.abs(neighbour.lossDb - here.lossDb) / distanceMm);
  }
  return slope;
}

/**
 * Play between knob and wiper: the wiper hangs back by half of it, so the two directions differ by slope x play.
 * Median weighted by slope over the places with at least `minSlopeDbPerMm` (mean of the chords on both sides).
 *
 * @returns mm (may be a little below 0 by uncertainty) and the number of places; null = nothing to see it by
 */
export function playFromDirections(
  places: readonly MeasuredPlace[],
  minSlopeDbPerMm = 0.1,
): { readonly playMm: number; readonly places: number } | null {
  const seen: { playMm: number; weight: number }[] = [];
  places.forEach((_, index) => {
    const playMm = localPlayMm(places, index, minSlopeDbPerMm);
    if (playMm !== null) seen.push({ playMm, weight: chordSlope(places, index) });
  });
  seen.sort((a, b) => a.playMm - b.playMm);
  const half = seen.reduce((sum, one) => sum + one.weight, 0) / 2;
  let passed = 0;
  for (const one of seen) {
    passed += one.weight;
    if (passed >= half) return { playMm: one.playMm, places: seen.length };
  }
  return null;
}

/** Play by one place alone, mm; null where the fader is too flat there to tell. */
export function localPlayMm(places: readonly MeasuredPlace[], index: number, minSlopeDbPerMm = 0.1): number | null {
  const difference = places[index]?.directionDifferenceDb ?? null;
  const slope = middleSlope(places, index);
  return difference === null || slope === null || Math.abs(slope) < minSlopeDbPerMm ? null : difference / slope;
}

/**
 * Slope through the place from neighbour to neighbour, dB/mm, negative where the fader runs backwards (ends swapped); at
 * the ends of the row the one chord there is.
 */
function middleSlope(places: readonly MeasuredPlace[], index: number): number | null {
  const from = [places[index - 1], places[index]].find((place) => place !== undefined && place.lossDb !== null);
  const to = [places[index + 1], places[index]].find((place) => place !== undefined && place.lossDb !== null);
  if (!from || !to || from.lossDb === null || to.lossDb === null || from.travelMm === to.travelMm) return null;
  return (from.lossDb - to.lossDb) / (to.travelMm - from.travelMm);
}

/** Below this the two directions arrive too close together to say how steep the track is between them, mm. */
const leastPlayForSlopeMm = 0.012;

/**
 * Slope to be used for position errors, dB/mm: the steeper of chords, law and what the two directions show on the
 * spot (their difference over the play of the whole fader): a bump on the track is far steeper than its chords.
 */
export function slopeForPosition(places: readonly MeasuredPlace[], index: number, playMm: number | null): number {
  const chord = chordSlope(places, index);
  const difference = places[index]?.directionDifferenceDb ?? null;
  if (difference === null || playMm === null || playMm < leastPlayForSlopeMm) return chord;
  return Math.max(chord, Math.abs(difference) / playMm);
}

/** How the slide behaves as the two directions show it: what a mean of both cannot average out. */
export interface SlideSpread {
  /** Standard deviation of the play from place to place, mm; 0 with fewer than three places. */
  readonly playSdMm: number;
}

/**
 * Scatter of the play from place to place (median absolute deviation x 1.4826): a wiper that hangs back and jumps
 * arrives somewhere else each time. Places where the track itself is odd do not move a median.
 */
export function slideSpread(places: readonly MeasuredPlace[], playMm: number): SlideSpread {
  const away: number[] = [];
  places.forEach((_, index) => {
    const local = localPlayMm(places, index);
    if (local !== null) away.push(Math.abs(local - playMm));
  });
  away.sort((a, b) => a - b);
  return { playSdMm: away.length < 3 ? 0 : 1.4826 * (away[away.length >> 1] ?? 0) };
}

/** By how much the two directions disagree beyond what the play of the whole fader explains, dB. */
export function directionExcessDb(places: readonly MeasuredPlace[], index: number, playMm: number | null): number {
  const difference = places[index]?.directionDifferenceDb ?? null;
  if (difference === null) return 0;
  const slope = middleSlope(places, index) ?? 0;
  return Math.abs(difference - (playMm ?? 0) * slope);
}
