/**
 * An uncertainty budget: named rows, their root sum of squares, and what follows from it (GUM, JCGM 100:2008).
 */

/** How a row was found: A = from the spread of readings, B = from other knowledge (GUM 3.3.4). */
export type EvaluationKind = 'A' | 'B';

export interface BudgetRow {
  /** What the row stands for, e.g. `meter noise`. */
  readonly source: string;
  readonly kind: EvaluationKind;
  /** Standard uncertainty of the input, in the unit named by `inputUnit`. */
  readonly standardUncertainty: number;
  readonly inputUnit: string;
  /** Result per unit of input, result unit / inputUnit. */
  readonly sensitivity: number;
  /** |standardUncertainty * sensitivity|, in the result's unit. */
  readonly contribution: number;
  /** Degrees of freedom; null = taken as exactly known. */
  readonly degreesOfFreedom: number | null;
  /** Why this number: spread seen, certificate, limits of the rig, assumption. */
  readonly basis: string;
}

export type BudgetUnit = 'dB' | 'ohm' | 'mm' | 'ratio';

export interface Budget {
  readonly unit: BudgetUnit;
  readonly rows: readonly BudgetRow[];
  /** Combined standard uncertainty. */
  readonly combined: number;
  /** Coverage factor. */
  readonly k: number;
  /** U = k * combined. */
  readonly expanded: number;
  /** Effective degrees of freedom after Welch-Satterthwaite; null = infinite. */
  readonly effectiveDegreesOfFreedom: number | null;
}

/** Coverage factor of every stated U: about 95 % (GUM 6.3.3). */
export const coverageFactor = 2;

export function budgetRow(row: Omit<BudgetRow, 'contribution'>): BudgetRow {
  return { ...row, contribution: Math.abs(row.standardUncertainty * row.sensitivity) };
}

/** Root sum of squares of the rows (GUM 5.1.2, inputs uncorrelated), times k. */
export function combine(rows: readonly BudgetRow[], unit: BudgetUnit, k: number = coverageFactor): Budget {
  const combined = Math.sqrt(rows.reduce((sum, row) => sum + row.contribution * row.contribution, 0));
  return { unit, rows, combined, k, expanded: k * combined, effectiveDegreesOfFreedom: welchSatterthwaite(rows) };
}

/** Welch-Satterthwaite: nu = u^4 / sum(u_i^4 / nu_i) (GUM G.4.1). Null when every contributing row is exactly known. */
export function welchSatterthwaite(
  rows: readonly Pick<BudgetRow, 'contribution' | 'degreesOfFreedom'>[],
): number | null {
  let sumOfSquares = 0;
  let denominator = 0;
  for (const { contribution, degreesOfFreedom } of rows) {
    sumOfSquares += contribution ** 2;
    if (degreesOfFreedom !== null) denominator += contribution ** 4 / degreesOfFreedom;
  }
  return denominator > 0 ? sumOfSquares ** 2 / denominator : null;
}

/** Two-sided Student quantile for p = 95.45 %, degrees 1..20 (GUM table G.2). */
const student9545 = [
  13.97, 4.53, 3.31, 2.87, 2.65, 2.52, 2.43, 2.37, 2.32, 2.28, 2.25, 2.23, 2.21, 2.2, 2.18, 2.17, 2.16, 2.15, 2.14,
  2.13,
];

/**
 * How much a standard deviation of few conversions must be widened so that k = 2 still covers 95 %:
 * t(95.45 %, nu) / 2 (GUM table G.2). Infinite when nothing is known (nu < 1).
 */
export function smallSampleFactor(degreesOfFreedom: number): number {
  if (!(degreesOfFreedom >= 1)) return Number.POSITIVE_INFINITY;
  const whole = Math.floor(degreesOfFreedom);
  const tabulated = student9545[whole - 1];
  // Beyond the table: t = z + (z^3 + z)/(4 nu) + (5 z^5 + 16 z^3 + 3 z)/(96 nu^2) at z = 2 (Abramowitz and Stegun 26.7.5).
  return tabulated !== undefined ? tabulated / 2 : 1 + 1.25 / whole + 1.53 / (whole * whole);
}

/** Rectangular distribution of half width a (GUM 4.3.7). */
export const rectangular = (halfWidth: number): number => Math.abs(halfWidth) / Math.sqrt(3);

/** Arcsine distribution of a sine of amplitude a at unknown phase (JCGM 101 6.4.6). */
export const arcsine = (amplitude: number): number => Math.abs(amplitude) / Math.SQRT2;
