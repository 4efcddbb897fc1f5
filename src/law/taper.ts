/**
 * Closed forms of tapers: output ratio y (0..1) against x, the share of the electrical travel (0..1). They make
 * nominal laws; a law itself is always stored as points, never as a formula or a letter.
 */
import { LawDomainError } from './problems.ts';

/** Output ratio against share of electrical travel. */
export type Taper = (x: number) => number;

function requireShare(value: number, name: string): void {
  if (!(value >= 0 && value <= 1)) throw new LawDomainError(`${name} must lie in 0..1, not ${value}.`);
}

function requireInside(value: number, name: string): void {
  if (!(value > 0 && value < 1)) throw new LawDomainError(`${name} must lie between 0 and 1, not ${value}.`);
}

function taper(ratio: (x: number) => number): Taper {
  return (x) => {
    requireShare(x, 'The share of travel');
    return ratio(x);
  };
}

/** Straight: y = x. */
export const linearTaper: Taper = taper((x) => x);

/** Base of the exponential taper that gives `midRatio` at half travel: b = (1 / midRatio - 1)^2. */
export function exponentialBase(midRatio: number): number {
  requireInside(midRatio, 'The ratio at half travel');
  return (1 / midRatio - 1) ** 2;
}

/**
 * Exponential with a true zero: y = (b^x - 1) / (b - 1), b from `exponentialBase`. `midRatio` 0.5 is straight,
 * 0.15 the usual audio taper.
 */
export function exponentialTaper(midRatio: number): Taper {
  const base = exponentialBase(midRatio);
  if (base === 1) return linearTaper;
  return taper((x) => (base ** x - 1) / (base - 1));
}

/** Exponential without a zero: y = 10^(-span (1 - x) / 20); straight in dB, `spanDb` down at the closed end. */
export function pureLogTaper(spanDb: number): Taper {
  if (!(spanDb > 0 && Number.isFinite(spanDb))) throw new LawDomainError(`The span must be above 0 dB, not ${spanDb}.`);
  return taper((x) => 10 ** ((-spanDb * (1 - x)) / 20));
}

/** y = x^exponent: 2 is the square law (40 log x), 3 the cube law (60 log x). */
export function powerTaper(exponent: number): Taper {
  if (!(exponent > 0)) throw new LawDomainError(`The exponent must be above 0, not ${exponent}.`);
  return taper((x) => x ** exponent);
}

export const squareTaper: Taper = powerTaper(2);
export const cubeTaper: Taper = powerTaper(3);

/** A knee of a printed track: ratio `y` at share of travel `x`, both between 0 and 1. */
export interface TaperKnee {
  readonly x: number;
  readonly y: number;
}

/** Straight stretches of ink from (0, 0) through the knees to (1, 1). Knees must rise in x and not fall in y. */
export function printedTaper(knees: readonly TaperKnee[]): Taper {
  const corners = [{ x: 0, y: 0 }, ...knees, { x: 1, y: 1 }];
  corners.reduce((before, corner) => {
    if (!(corner.x > before.x && corner.y >= before.y)) {
      throw new LawDomainError(`The knee at travel share ${corner.x} does not rise from the one before it.`);
    }
    return corner;
  });
  return taper((x) => {
    const above = corners.findIndex((corner) => corner.x >= x);
    const to = corners[above];
    const from = corners[above - 1];
    if (to === undefined || from === undefined) return 0;
    return from.y + ((to.y - from.y) * (x - from.x)) / (to.x - from.x);
  });
}

/** Two inks: straight to `midRatio` at half travel, then straight to 1. */
export function twoSlopeTaper(midRatio: number): Taper {
  requireInside(midRatio, 'The ratio at half travel');
  return printedTaper([{ x: 0.5, y: midRatio }]);
}

/** Straight track with a resistor R from wiper to the closed end, t = R / Rp: y = x t / (t + x (1 - x)). */
export function linearWithResistorTaper(t: number): Taper {
  requireResistor(t);
  return taper((x) => (x * t) / (t + x * (1 - x)));
}

/** Straight track with the resistor from wiper to the open end: y = (x - x^2 + x t) / (x - x^2 + t). */
export function reverseLinearWithResistorTaper(t: number): Taper {
  requireResistor(t);
  return taper((x) => (x - x * x + x * t) / (x - x * x + t));
}

function requireResistor(t: number): void {
  if (!(t > 0 && Number.isFinite(t))) throw new LawDomainError(`R / Rp must be a finite number above 0, not ${t}.`);
}

/** The same taper seen from the far end (reverse audio): y = 1 - taper(1 - x). */
export function reversedTaper(forward: Taper): Taper {
  return taper((x) => 1 - forward(1 - x));
}
