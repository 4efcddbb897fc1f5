import { noiseAlong } from './random.ts';
import type { Specimen, Wiper } from './specimen.ts';
import { filmOhm, filmOhmBelow } from './track.ts';

/** The state of the contact at the moment it is read; the default is the settled, clean, unloaded contact. */
export interface ContactState {
  /** Kelvin above the reference temperature. */
  readonly deltaK: number;
  /** Full strokes made since the fader rested. */
  readonly strokes: number;
  /** Names this pass: the part of the scatter that does not return. Null = only the repeatable part. */
  readonly pass: number | null;
  /** Whole contact relative to its usual resistance, about 1. */
  readonly dayFactor: number;
  /** Where the speck of dirt lies now, mm; null = none. */
  readonly dirtAtMm: number | null;
  /** Resistance of whatever reads the wiper, ohm; null = nothing loads it. */
  readonly loadOhm: number | null;
}

export const settledContact: ContactState = {
  deltaK: 0,
  strokes: Number.POSITIVE_INFINITY,
  pass: null,
  dayFactor: 1,
  dirtAtMm: null,
  loadOhm: null,
};

/** Total resistance between the end terminals, ohm. */
export function totalOhm(specimen: Specimen, deltaK = 0): number {
  const { closedOhm, openOhm, commonLeadOhm } = specimen.ends;
  return commonLeadOhm + closedOhm + filmOhm(specimen.track, deltaK) + openOhm;
}

/**
 * Wiper voltage over track voltage with the wiper's middle at `wiperMm`.
 *
 * The fingers average the potentials under them, weighted with their conductances. The small current that flows from
 * finger to finger through the track is left out (at most a few ohm of the total). The load sees
 * `total y (1 - y)` plus the contact in series.
 */
export function ratioAtWiper(specimen: Specimen, wiperMm: number, state: ContactState = settledContact): number {
  const { track, wiper, ends } = specimen;
  const below = ends.commonLeadOhm + ends.closedOhm;
  const total = totalOhm(specimen, state.deltaK);
  let conductance = 0;
  let weighted = 0;
  for (let i = 0; i < wiper.fingers.length; i++) {
    const ohm = fingerOhm(wiper, i, wiperMm, state);
    if (ohm === null) continue;
    const placeMm = wiperMm + (wiper.fingers[i]?.offsetMm ?? 0);
    conductance += 1 / ohm;
    weighted += (below + filmOhmBelow(track, placeMm, state.deltaK)) / ohm;
  }
  if (conductance === 0) return 0;
  const upright = weighted / conductance / total;
  const open = ends.swapped ? 1 - upright : upright;
  if (state.loadOhm === null) return open;
  const source = total * open * (1 - open) + 1 / conductance;
  return (open * state.loadOhm) / (state.loadOhm + source);
}

/** Resistance of all fingers together, ohm; null when none is left. */
export function contactOhm(specimen: Specimen, wiperMm: number, state: ContactState = settledContact): number | null {
  let conductance = 0;
  for (let i = 0; i < specimen.wiper.fingers.length; i++) {
    const ohm = fingerOhm(specimen.wiper, i, wiperMm, state);
    if (ohm !== null) conductance += 1 / ohm;
  }
  return conductance === 0 ? null : 1 / conductance;
}

function fingerOhm(wiper: Wiper, index: number, wiperMm: number, state: ContactState): number | null {
  const finger = wiper.fingers[index];
  if (!finger || finger.ohm === null) return null;
  const placeMm = wiperMm + finger.offsetMm;
  const film = wiper.filmFraction * finger.filmShare * Math.max(0, 1 - state.strokes / wiper.strokesToClean);
  const scatter = scatterAt(wiper, index, placeMm, state.pass, film);
  const dirt = state.dirtAtMm;
  const dirty = wiper.dirt !== null && dirt !== null && Math.abs(wiperMm - dirt) <= wiper.dirt.lengthMm / 2;
  const clean = finger.ohm * state.dayFactor * (1 + film) * Math.max(0.1, 1 + scatter);
  // A speck lifts the whole wiper, so every finger reads through its share of it.
  return dirty && wiper.dirt ? clean + wiper.dirt.ohm * wiper.fingers.length : clean;
}

function scatterAt(wiper: Wiper, index: number, placeMm: number, pass: number | null, film: number): number {
  if (wiper.scatterSd === 0) return 0;
  const worn = wiper.worn !== null && placeMm >= wiper.worn.fromMm && placeMm <= wiper.worn.toMm;
  // Film is patchy: the contact scatters more in proportion to what the film adds.
  const sd = wiper.scatterSd * (worn && wiper.worn ? wiper.worn.scatterFactor : 1) * (1 + film);
  const share = wiper.scatterRepeatableShare;
  const fixed = Math.sqrt(share) * noiseAlong(wiper.noiseSeed, index, placeMm, wiper.scatterCorrelationMm);
  if (pass === null) return sd * fixed;
  const fresh = noiseAlong(wiper.noiseSeed ^ (pass + 1), index + 1000, placeMm, wiper.scatterCorrelationMm);
  return sd * (fixed + Math.sqrt(1 - share) * fresh);
}
