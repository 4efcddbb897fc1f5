import { smallSampleFactor } from './budget.ts';

/** The spread a reading shows of itself. */
export interface ReadingSpread {
  readonly conversions: number;
  /** N-1 standard deviation of one conversion, counts; null for N = 1. */
  readonly wiperSdCounts: number | null;
  readonly integrationUs: number;
}

/**
 * Noise of one conversion as the whole run shows it, counts: the middle of the variances of all readings of this
 * integration time, each brought to its expectation (median of chi-square/nu about (1 - 2/(9 nu))^3, Wilson and
 * Hilferty 1931). A single unsteady reading does not move it. Null without any spread to look at.
 */
export function pooledNoiseCounts(readings: readonly ReadingSpread[], integrationUs: number): number | null {
  const variances: number[] = [];
  for (const reading of readings) {
    if (reading.integrationUs !== integrationUs || reading.wiperSdCounts === null || reading.conversions < 2) continue;
    const degrees = reading.conversions - 1;
    variances.push(reading.wiperSdCounts ** 2 / (1 - 2 / (9 * degrees)) ** 3);
  }
  variances.sort((a, b) => a - b);
  const middle = variances[Math.floor(variances.length / 2)];
  return middle === undefined ? null : Math.sqrt(middle);
}

/**
 * Standard uncertainty of a reading's mean, counts: its own spread widened for few conversions, but never less than
 * the noise of the whole run. Null when neither is known.
 */
export function meanNoiseCounts(reading: ReadingSpread, pooledCounts: number | null): number | null {
  const { conversions, wiperSdCounts } = reading;
  if (!(conversions >= 1)) return null;
  const own = wiperSdCounts === null || conversions < 2 ? null : wiperSdCounts * smallSampleFactor(conversions - 1);
  if (own === null && pooledCounts === null) return null;
  // With a pooled figure at hand, the widening of two or three conversions would say more about luck than about noise.
  const ownUsed = own !== null && pooledCounts !== null && conversions < 4 ? (wiperSdCounts ?? 0) : (own ?? 0);
  return Math.max(ownUsed, pooledCounts ?? 0) / Math.sqrt(conversions);
}

/**
 * A reading that scatters far beyond the run's noise did not read a settled contact (dropout, touch, loose lead).
 *
 * @returns true = not to be judged
 */
export function isUnsteady(reading: ReadingSpread, pooledCounts: number | null, limitCounts: number): boolean {
  if (reading.wiperSdCounts === null || pooledCounts === null) return false;
  return reading.wiperSdCounts > Math.max(20 * pooledCounts, limitCounts);
}
