/** The normal distribution's tail. */

/**
 * Chance that a standard normal value exceeds `z`: Laplace's continued fraction beyond 2.5 (Abramowitz and Stegun 26.2.14),
 * the power series below (26.2.11).
 */
export function upperTail(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  if (z < 0) return 1 - upperTail(-z);
  const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
  if (z > 2.5) {
    let tail = 0;
    // Enough for ten digits at 2.5, and for more further out.
    for (let k = z > 4 ? 24 : 64; k >= 1; k -= 1) tail = k / (z + tail);
    return density / (z + tail);
  }
  let term = z;
  let sum = z;
  for (let k = 1; k < 60; k += 1) {
    term *= (z * z) / (2 * k + 1);
    sum += term;
  }
  return 0.5 - density * sum;
}
