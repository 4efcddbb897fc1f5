/**
 * Decision zones with guard bands of U (ISO 14253-1; JCGM 106:2012, 8.3): proved inside, proved outside, or neither.
 */

/** What is known. `void` = nothing may be said. */
export type Zone = 'pass' | 'doubt' | 'fail' | 'void';

export interface ZoneInput {
  readonly value: number | null;
  /** Lower limit; null = none. */
  readonly lower: number | null;
  /** Upper limit; null = none. */
  readonly upper: number | null;
  /** Expanded uncertainty U (k = 2), >= 0, same unit; null = not known. */
  readonly uncertainty: number | null;
}

/**
 * Pass: inside the limits moved inwards by U. Fail: outside the limits moved outwards by U. Doubt between, limits
 * included in doubt's favour only beyond them: a value exactly on a moved limit passes (inner) or is in doubt (outer),
 * as the standard's "<=" has it. Void: anything missing or not finite, limits that cross, or no limit at all.
 */
export function zoneOf({ value, lower, upper, uncertainty }: ZoneInput): Zone {
  if (value === null || uncertainty === null || !Number.isFinite(value)) return 'void';
  if (!Number.isFinite(uncertainty) || uncertainty < 0) return 'void';
  if (lower === null && upper === null) return 'void';
  if ((lower !== null && !Number.isFinite(lower)) || (upper !== null && !Number.isFinite(upper))) return 'void';
  if (lower !== null && upper !== null && lower > upper) return 'void';
  if (lower !== null && value < lower - uncertainty) return 'fail';
  if (upper !== null && value > upper + uncertainty) return 'fail';
  const aboveLower = lower === null || value >= lower + uncertainty;
  const belowUpper = upper === null || value <= upper - uncertainty;
  return aboveLower && belowUpper ? 'pass' : 'doubt';
}

/**
 * The word for the whole from the words of its parts: void before fail before doubt before pass. Nothing judged is
 * void, never pass.
 */
export function worstZone(zones: readonly Zone[]): Zone {
  if (zones.length === 0) return 'void';
  for (const zone of ['void', 'fail', 'doubt'] as const) if (zones.includes(zone)) return zone;
  return 'pass';
}

/**
 * How near its limit a value lies: 0 = on target, 1 = on the limit, more = outside. A side without limit counts 0.
 */
export function shareOfLimit(deviation: number, lower: number, upper: number | null): number {
  if (deviation < 0) return lower < 0 ? deviation / lower : Number.POSITIVE_INFINITY;
  if (upper === null || deviation === 0) return 0;
  return upper > 0 ? deviation / upper : Number.POSITIVE_INFINITY;
}
