/**
 * What the budget assumes where neither readings, calibration nor the rig's limits say anything. Standard
 * uncertainties or half widths as named. Each may be replaced by a certificate one day; until then it is stated with
 * every budget.
 */

/** Half width of the bench temperature about the reference temperature, K (22 +- 2 K and the drift of a shift). */
export const temperatureHalfWidthK = 3;
/** Inks of one track follow each other within this, 1/K (design values of the station; no published source). */
export const inkSpreadPerK = 50e-6;
/** Temperature coefficient of the track's total resistance, 1/K (TCR of printed polymer films, order of magnitude). */
export const trackPerK = 300e-6;
/** Drift of the meter's gain with temperature, 1/K. */
export const gainDriftPerK = 5e-6;
/**
 * Standard uncertainty of where the fingers touch, from one visit to the next, mm: finger resistances scatter, so the
 * weights of fingers placed 0.05 mm apart scatter (estimate for clean to filmed contacts).
 */
export const contactPlaceMm = 0.003;
/**
 * Gain of the track channel alone, relative, standard uncertainty: the ratio does not see it, the series reference took
 * it up at equal resistors, so it counts as far as the track differs from the reference.
 */
export const trackGainAlone = 3e-4;
/** A calibration finds the scatter of homing from about ten homings; so few say little about its tails. */
export const homingDegrees = 9;
/** The rig reports positions in whole um: half width, mm. */
export const positionRoundingMm = 0.0005;
/** How long and how far the knob may still swing when a reading begins: allowed cost at the reading, dB. */
export const ringCostDb = 0.004;
const ringLeastUm = 0.5;
const ringMostUm = 5;

/**
 * Swing of the knob that may be left when a reading begins, um: what costs `ringCostDb` at this slope, within
 * 0.5..5 um. One rule for the procedure (which waits for it) and for the budget (which counts it).
 */
export function ringResidualUm(slopeDbPerMm: number): number {
  const allowed = slopeDbPerMm > 0 ? (ringCostDb / slopeDbPerMm) * 1000 : ringMostUm;
  return Math.min(ringMostUm, Math.max(ringLeastUm, allowed));
}
