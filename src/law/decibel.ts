import { LawDomainError } from './problems.ts';

/** dB per unit of relative ratio change: 20 / ln 10 = 8.686. A ratio known to 1 % is known to 0.087 dB. */
export const DB_PER_RELATIVE = 20 / Math.LN10;

/**
 * Loss of an amplitude ratio: -20 log10(ratio). Negative above ratio 1.
 *
 * @returns dB, or `null` for a ratio of 0 or less: such a loss has no finite value and must stay a gap
 * @throws LawDomainError when the ratio is not a finite number
 */
export function lossFromRatio(ratio: number): number | null {
  if (!Number.isFinite(ratio)) throw new LawDomainError(`A ratio must be a finite number, not ${ratio}.`);
  if (ratio <= 0) return null;
  return -20 * Math.log10(ratio) + 0;
}

/**
 * Amplitude ratio of a loss: 10^(-loss / 20).
 *
 * @throws LawDomainError when the loss is not a finite number
 */
export function ratioFromLoss(lossDb: number): number {
  if (!Number.isFinite(lossDb)) throw new LawDomainError(`A loss must be a finite number of dB, not ${lossDb}.`);
  return 10 ** (-lossDb / 20);
}

/** Loss of stages one behind the other, each unloaded by the next: the sum. `null` as soon as one is a gap. */
export function addLossDb(...lossesDb: readonly (number | null)[]): number | null {
  let sumDb = 0;
  for (const lossDb of lossesDb) {
    if (lossDb === null) return null;
    sumDb += lossDb;
  }
  return sumDb;
}

/**
 * Tracking error of two tracks at one place: 20 log10(first / second), dB. Positive = the first is louder.
 * `null` when one of them has no finite loss.
 */
export function trackingErrorDb(firstRatio: number, secondRatio: number): number | null {
  const firstDb = lossFromRatio(firstRatio);
  const secondDb = lossFromRatio(secondRatio);
  return firstDb === null || secondDb === null ? null : secondDb - firstDb;
}

/** Tolerance of a ratio, as a fraction of its value, in dB: `minusDb` louder, `plusDb` quieter; both > 0. */
export function toleranceFromFraction(fraction: number): { readonly minusDb: number; readonly plusDb: number } {
  if (!(fraction > 0 && fraction < 1))
    throw new LawDomainError(`A tolerance fraction must lie in 0..1, not ${fraction}.`);
  return { minusDb: 20 * Math.log10(1 + fraction), plusDb: -20 * Math.log10(1 - fraction) };
}
