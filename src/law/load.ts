/**
 * What a load on the wiper does to a divider, both ways. Ratios are Vwiper / Vtrack with the feed held at the
 * track's ends; `m` is load resistance over total track resistance, RL / Rp.
 *
 * The source resistance at the wiper is Rp y0 (1 - y0) for any taper (the two parts of the track in parallel),
 * so only the unloaded ratio y0 matters: y = y0 / (1 + y0 (1 - y0) / m). Wiper contact resistance is not in it.
 */
import type { Law } from './build.ts';
import { lossFromRatio, ratioFromLoss } from './decibel.ts';
import { LawDomainError } from './problems.ts';

function requireLoad(m: number): void {
  if (!(m > 0 && Number.isFinite(m))) {
    throw new LawDomainError(`The load relative to the track must be a finite number above 0, not ${m}.`);
  }
}

/** Measured ratios stray a little beyond 0..1 (noise, offset); further out something else is wrong. */
function requireRatio(ratio: number): void {
  if (!(ratio >= -0.1 && ratio <= 1.1)) throw new LawDomainError(`A divider's ratio cannot be ${ratio}.`);
}

/**
 * Ratio under load from the unloaded one.
 *
 * @param unloadedRatio 0..1 (up to 0.1 beyond is taken as noise and carried through)
 * @param m RL / Rp, > 0
 * @throws LawDomainError outside those ranges
 */
export function loadedRatio(unloadedRatio: number, m: number): number {
  requireRatio(unloadedRatio);
  requireLoad(m);
  return unloadedRatio / (1 + (unloadedRatio * (1 - unloadedRatio)) / m);
}

/**
 * Unloaded ratio from the one under load, exactly: the positive root of q y0^2 + (1 - q) y0 - y = 0, q = y / m.
 *
 * @param ratio measured under load, 0..1 (up to 0.1 beyond is taken as noise and carried through)
 * @param m RL / Rp, > 0
 * @throws LawDomainError outside those ranges
 */
export function unloadedRatio(ratio: number, m: number): number {
  requireRatio(ratio);
  requireLoad(m);
  const q = ratio / m;
  const root = Math.sqrt((1 - q) ** 2 + 4 * q * ratio);
  // Two forms of the same root: each keeps its digits where the other subtracts nearly equal numbers.
  return q <= 1 ? (2 * ratio) / (1 - q + root) : (q - 1 + root) / (2 * q);
}

/** How much loss the load adds, dB: 20 log10(1 + y0 (1 - y0) / m). 0 at both ends, greatest at y0 = 0.5. */
export function loadErrorDb(unloadedRatio: number, m: number): number {
  requireRatio(unloadedRatio);
  requireLoad(m);
  return 20 * Math.log10(1 + (unloadedRatio * (1 - unloadedRatio)) / m);
}

/** The most loss the load can add anywhere on any taper, dB: at half output, 20 log10(1 + 1 / (4 m)). */
export function worstLoadErrorDb(m: number): number {
  return loadErrorDb(0.5, m);
}

/** How much lower than unloaded the ratio reads, as a fraction of the input: y0 - y >= 0. */
export function loadErrorRatio(unloadedRatio: number, m: number): number {
  return unloadedRatio - loadedRatio(unloadedRatio, m);
}

/**
 * The greatest `loadErrorRatio` and the unloaded ratio where it occurs (2/3 for a light load, more for a heavy
 * one): the root of 3 m y0 - 2 m = y0 (1 - y0)^2, which follows from d(y0 - y)/dy0 = 0.
 */
export function worstLoadErrorRatio(m: number): { readonly unloadedRatio: number; readonly errorRatio: number } {
  requireLoad(m);
  let low = 2 / 3;
  let high = 1;
  // Bisection to the last bit: the left side minus the right rises steadily from below 0 to m over this stretch.
  for (let halvings = 0; halvings < 54; halvings += 1) {
    const middle = (low + high) / 2;
    if (3 * m * middle - 2 * m < middle * (1 - middle) ** 2) low = middle;
    else high = middle;
  }
  return { unloadedRatio: low, errorRatio: loadErrorRatio(low, m) };
}

/** Loss under load from the unloaded loss, dB; `null` stays a gap. */
export function loadedLossDb(unloadedLossDb: number | null, m: number): number | null {
  return unloadedLossDb === null ? null : lossFromRatio(loadedRatio(ratioFromLoss(unloadedLossDb), m));
}

/** Unloaded loss from the loss under load, dB; `null` stays a gap. */
export function unloadedLossDb(loadedLossDb: number | null, m: number): number | null {
  return loadedLossDb === null ? null : lossFromRatio(unloadedRatio(ratioFromLoss(loadedLossDb), m));
}

/**
 * A loss measured without load (or with the meter's own load taken out), as it would be at the load the law is
 * stated for: the number to compare with the law. Unchanged when the law is stated unloaded.
 *
 * @param trackOhm total resistance of the track measured, > 0
 */
export function lossAtLawLoad(law: Law, unloadedLossDb: number | null, trackOhm: number): number | null {
  if (!(trackOhm > 0)) throw new LawDomainError(`The track resistance must be above 0 ohm, not ${trackOhm}.`);
  return law.loadOhm === null ? unloadedLossDb : loadedLossDb(unloadedLossDb, law.loadOhm / trackOhm);
}
