/**
 * Resistance that cuts add to an even strip, in squares (1 square = the sheet resistance). W = width of the strip,
 * d = depth of the cut from one edge; lengths in mm. Two-dimensional current flow, insulating cut.
 *
 * The closed forms are conformal maps of a straight strip; checked against published figures (`electrical-trimming.json`)
 * and against a finite-volume solution in the tests. Film removed can only add squares, so every result is >= 0.
 */

/**
 * Width of a laser cut, mm: 0.0035 inch in thick film, 0.0012 inch in thin film (a trim house; `electrical-trimming.json`).
 */
export const laserKerfMm = { thickFilm: 0.0035 * 25.4, thinFilm: 0.0012 * 25.4 } as const;

/** A cut that no formula answers for. */
export class CutGeometryError extends Error {
  override readonly name = 'CutGeometryError';
  readonly code = 'trim.cutGeometry';
  readonly userFixable = false;
}

function mustLeaveFilm(depthMm: number, widthMm: number): void {
  if (!(widthMm > 0) || !(depthMm >= 0) || !(depthMm < widthMm))
    throw new CutGeometryError(
      `A cut ${depthMm} mm deep in a strip ${widthMm} mm wide leaves no film. Plan a shallower cut.`,
    );
}

/**
 * Thin cut across the current: `(4/pi) ln sec(pi d / 2W)`, about `(pi/2)(d/W)^2` while shallow.
 * @throws CutGeometryError unless 0 <= depth < width
 */
export function plungeSquares(depthMm: number, widthMm: number): number {
  mustLeaveFilm(depthMm, widthMm);
  return (-4 / Math.PI) * Math.log(Math.cos((Math.PI * depthMm) / (2 * widthMm)));
}

/** Depth of the thin cut that adds `squares` (>= 0): the inverse of `plungeSquares`. */
export function plungeDepthMm(squares: number, widthMm: number): number {
  if (!(squares >= 0)) throw new CutGeometryError(`No cut adds ${squares} squares. Ask for 0 or more.`);
  return ((2 * widthMm) / Math.PI) * Math.acos(Math.exp((-Math.PI / 4) * squares));
}

/**
 * One-sided change of width from W to W - d, the excess over both strips taken as even:
 * `(2/pi)[ln((1 - a^2)/4a) + ((1 + a^2)/2a) ln((1 + a)/(1 - a))]` with a = (W - d)/W.
 * @throws CutGeometryError unless 0 <= depth < width
 */
export function stepSquares(depthMm: number, widthMm: number): number {
  mustLeaveFilm(depthMm, widthMm);
  const a = (widthMm - depthMm) / widthMm;
  const b = 1 - a;
  // The terms cancel as b goes to 0; there the sum is of the order b^2 ln(1/b), below what doubles resolve.
  if (b < 1e-6) return 0;
  return (2 / Math.PI) * (Math.log((b * (1 + a)) / (4 * a)) + ((1 + a * a) / (2 * a)) * Math.log((1 + a) / b));
}

/** Even body of a shave without its ends: `l/(W - d) - l/W`. */
export function bodySquares(lengthMm: number, depthMm: number, widthMm: number): number {
  mustLeaveFilm(depthMm, widthMm);
  return lengthMm / (widthMm - depthMm) - lengthMm / widthMm;
}

/**
 * What the two ends of a shave add together. Far apart they are two steps; close together they merge into a thin cut.
 * Between, `1 - exp(-4.9 (l/W)^0.77)` of the way: fitted to a field solution (d/W 0.125..0.375, l/W 0.125..1), within
 * 2 % of the ends and 1 % of the whole shave.
 */
export function shaveEndsSquares(lengthMm: number, depthMm: number, widthMm: number): number {
  const together = plungeSquares(depthMm, widthMm);
  const apart = 2 * stepSquares(depthMm, widthMm);
  return together + (apart - together) * (1 - Math.exp(-4.9 * (lengthMm / widthMm) ** 0.77));
}

/** Shave (edge cut) of length l with both ends: `l/(W - d) - l/W + 2 step`, ends merging when shorter than a width. */
export function shaveSquares(lengthMm: number, depthMm: number, widthMm: number): number {
  return bodySquares(lengthMm, depthMm, widthMm) + shaveEndsSquares(lengthMm, depthMm, widthMm);
}

/** Depth of the shave that adds `squares`, to 1e-9 mm: the inverse of `shaveSquares`. */
export function shaveDepthMm(squares: number, lengthMm: number, widthMm: number): number {
  if (!(squares >= 0)) throw new CutGeometryError(`No cut adds ${squares} squares. Ask for 0 or more.`);
  let low = 0;
  let high = widthMm * (1 - 1e-9);
  while (high - low > 1e-9) {
    const middle = (low + high) / 2;
    if (shaveSquares(lengthMm, middle, widthMm) < squares) low = middle;
    else high = middle;
  }
  return low;
}
