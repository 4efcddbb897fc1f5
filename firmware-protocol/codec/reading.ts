/**
 * Readings on the wire: statistics of N simultaneous conversions as integers, so that a small controller needs no
 * floating point and one line carries mean and spread whatever N is. The first conversion is sent whole and the
 * others as sums of differences from it, which keeps the sums small.
 */
import { WireFieldsError, WireFormatError } from './errors.ts';
import { isWireInteger } from './line.ts';

/** Where a field stops counting; the rig then says `o=1`. Together they keep the longest reading at 96 bytes. */
export const readingLimits = {
  countsMin: -999_999,
  countsMax: 8_388_607,
  wiperSumMax: 9_999_999,
  wiperSquaresMax: 4_294_967_295,
  trackSumMax: 999_999,
  conversionsMax: 99,
} as const;

export interface WireReading {
  readonly positionUm: number;
  /** Rig clock at the start of the first conversion, modulo 2^32. */
  readonly clockUs: number;
  readonly conversions: number;
  /** Counts. */
  readonly wiperMean: number;
  /** Sample standard deviation (N-1), counts; null for one conversion and when the sums saturated. */
  readonly wiperSd: number | null;
  /** Counts. */
  readonly trackMean: number;
  /** A conversion was over range or a sum saturated: may be stored, never judged. */
  readonly overRange: boolean;
}

/**
 * Fields x c k s q r z n o of a reading from the raw conversions (counts, one or more, as many of the track as of the
 * wiper). Values beyond `readingLimits` are clipped and set o=1.
 */
export function encodeReading(
  conversions: { readonly wiper: readonly number[]; readonly track: readonly number[] },
  positionUm: number,
  clockUs: number,
  overRange: boolean,
): Record<string, number> {
  const { wiper, track } = conversions;
  const n = wiper.length;
  if (n < 1 || n > readingLimits.conversionsMax || track.length !== n) {
    throw new WireFormatError(`A reading needs 1..99 conversions of both channels, got ${n} and ${track.length}.`);
  }
  if (![...wiper, ...track, positionUm, clockUs].every(Number.isInteger)) {
    throw new WireFormatError('A reading is made of whole counts, micrometres and microseconds.');
  }
  let saturated = overRange;
  const clip = (value: number, min: number, max: number): number => {
    if (value >= min && value <= max) return value + 0;
    saturated = true;
    return Math.min(Math.max(value, min), max);
  };
  const { countsMin, countsMax } = readingLimits;
  const wiperCounts = wiper.map((value) => clip(value, countsMin, countsMax));
  const trackCounts = track.map((value) => clip(value, countsMin, countsMax));
  const k = wiperCounts[0] ?? 0;
  const r = trackCounts[0] ?? 0;
  const s = wiperCounts.reduce((sum, value) => sum + (value - k), 0);
  const q = wiperCounts.reduce((sum, value) => sum + (value - k) ** 2, 0);
  const z = trackCounts.reduce((sum, value) => sum + (value - r), 0);
  const fields: Record<string, number> = {
    x: positionUm + 0,
    c: modulo32(clockUs),
    k,
    s: clip(s, -readingLimits.wiperSumMax, readingLimits.wiperSumMax),
    q: clip(q, 0, readingLimits.wiperSquaresMax),
    r,
    z: clip(z, -readingLimits.trackSumMax, readingLimits.trackSumMax),
    n,
  };
  fields.o = saturated ? 1 : 0;
  return fields;
}

/** Mean and spread from the fields of a reading. Throws `WireFieldsError` on missing or contradictory fields. */
export function decodeReading(fields: Readonly<Record<string, number>>): WireReading {
  const x = need(fields, 'x');
  const c = need(fields, 'c');
  const k = need(fields, 'k');
  const s = need(fields, 's');
  const q = need(fields, 'q');
  const r = need(fields, 'r');
  const z = need(fields, 'z');
  const n = need(fields, 'n');
  const o = need(fields, 'o');
  if (o !== 0 && o !== 1) throw contradiction(`o=${o} is neither 0 nor 1`, ['o']);
  if (n < 1 || n > readingLimits.conversionsMax) throw contradiction(`n=${n} is not in 1..99`, ['n']);
  if (c < 0) throw contradiction(`c=${c} is negative`, ['c']);
  if (q < 0) throw contradiction(`q=${q} is negative`, ['q']);
  const { countsMin, countsMax } = readingLimits;
  if (k < countsMin || k > countsMax) throw contradiction(`k=${k} is no converter count`, ['k']);
  if (r < countsMin || r > countsMax) throw contradiction(`r=${r} is no converter count`, ['r']);
  if (Math.abs(s) > readingLimits.wiperSumMax || Math.abs(z) > readingLimits.trackSumMax) {
    throw contradiction(`s=${s} z=${z} are beyond their range`, ['s', 'z']);
  }
  const wiperSaturated = Math.abs(s) === readingLimits.wiperSumMax || q === readingLimits.wiperSquaresMax;
  if ((wiperSaturated || Math.abs(z) === readingLimits.trackSumMax) && o === 0)
    throw contradiction('a sum stands at its stop, yet o=0', ['s', 'q', 'z', 'o']);
  if (n === 1 && (s !== 0 || q !== 0 || z !== 0)) {
    throw contradiction('one conversion cannot differ from itself', ['s', 'q', 'z', 'n']);
  }
  if (!wiperSaturated) {
    // Differences are whole numbers d_i with d_1 = 0, so (sum d)^2 <= (n-1) sum d^2, and sum d^2 is even when sum d is.
    if (s * s > (n - 1) * q || (q - s) % 2 !== 0) {
      throw contradiction(`s=${s} and q=${q} cannot come from ${n} whole conversions`, ['s', 'q', 'n']);
    }
  }
  const wiperSd = wiperSaturated || n === 1 ? null : Math.sqrt((q - (s * s) / n) / (n - 1));
  return {
    positionUm: x,
    clockUs: c,
    conversions: n,
    wiperMean: k + s / n,
    wiperSd,
    trackMean: r + z / n,
    overRange: o === 1,
  };
}

/** Answer of a glide once it stands still. */
export interface WireGlideEnd {
  readonly positionUm: number;
  readonly clockUs: number;
  /** Samples sent, not reduced modulo 65536. */
  readonly samplesSent: number;
  /** Mean of the track channel over the glide, rounded to a count. */
  readonly trackMean: number;
}

/** Fields x c n r of a glide's answer. */
export function encodeGlideEnd(end: WireGlideEnd): Record<string, number> {
  return {
    x: Math.round(end.positionUm) + 0,
    c: modulo32(end.clockUs),
    n: end.samplesSent,
    r: Math.round(end.trackMean) + 0,
  };
}

/** Throws `WireFieldsError` on missing fields. */
export function decodeGlideEnd(fields: Readonly<Record<string, number>>): WireGlideEnd {
  const samplesSent = need(fields, 'n');
  if (samplesSent < 0) throw contradiction(`n=${samplesSent} is negative`, ['n']);
  return {
    positionUm: need(fields, 'x'),
    clockUs: need(fields, 'c'),
    samplesSent,
    trackMean: need(fields, 'r'),
  };
}

/** A clock in whole microseconds reduced to the 32 bits of the wire. */
export function modulo32(clockUs: number): number {
  return ((Math.round(clockUs) % 4_294_967_296) + 4_294_967_296) % 4_294_967_296;
}

/** One field that must be there. Throws `WireFieldsError`. */
export function need(fields: Readonly<Record<string, number>>, key: string): number {
  const value = fields[key];
  if (value === undefined || !isWireInteger(value)) {
    throw new WireFieldsError(
      `The rig's answer lacks the field "${key}". Check that its firmware speaks this protocol.`,
      [key],
    );
  }
  return value;
}

function contradiction(what: string, keys: readonly string[]): WireFieldsError {
  return new WireFieldsError(`The rig's answer contradicts itself: ${what}. Its firmware has a defect.`, keys);
}
