/** Samples of a glide: the one kind of line that must be fast (10,000 a second and more). */
import { crcHex, hex4 } from './crc16.ts';
import { WireFormatError } from './errors.ts';
import {
  frameFailure,
  isWireInteger,
  MAX_FIELDS,
  MAX_LINE_BYTES,
  MAX_VALUE,
  MIN_VALUE,
  type ParseFailure,
} from './line.ts';

export interface WireSample {
  /** Runs from 0 within a glide; 16 bits on the wire, so it comes back modulo 65536. */
  readonly counter: number;
  /** Carriage position at the middle of the conversion, rig scale. */
  readonly positionUm: number;
  /** Rig clock at the middle of the conversion, modulo 2^32. */
  readonly clockUs: number;
  /** Wiper conversion in converter counts. */
  readonly wiperCounts: number;
}

export type SampleResult =
  | { readonly ok: true; readonly sample: WireSample }
  | { readonly ok: false; readonly reason: ParseFailure };

/** Write one sample line with its LF. Throws `WireFormatError` on anything that is not an integer of the wire. */
export function formatSample(sample: WireSample): string {
  const { counter, positionUm, clockUs, wiperCounts } = sample;
  if (!Number.isSafeInteger(counter) || counter < 0) {
    throw new WireFormatError(`Cannot send a sample with counter ${counter}: it must be a whole number from 0.`);
  }
  for (const value of [positionUm, clockUs, wiperCounts]) {
    if (!isWireInteger(value)) {
      throw new WireFormatError(`Cannot send sample ${counter}: ${value} is not an integer of the wire.`);
    }
  }
  const body = `.${hex4(counter % 65536)} ${positionUm + 0} ${clockUs + 0} ${wiperCounts + 0}`;
  const text = `${body} ${crcHex(body)}\n`;
  if (text.length > MAX_LINE_BYTES) throw new WireFormatError(`Sample ${counter} would take ${text.length} bytes.`);
  return text;
}

const shapeFailure: SampleResult = { ok: false, reason: 'shape' };

/**
 * Read one sample line without building fields. Takes and refuses exactly the sample lines that `parseLine` takes and
 * refuses, with the same reason; a good line of another kind is `shape`. Values after the third are ignored.
 */
export function parseSample(text: string): SampleResult {
  const failure = frameFailure(text);
  if (failure !== null) return { ok: false, reason: failure };
  if (text.charCodeAt(0) !== 0x2e) return shapeFailure;
  let counter = 0;
  for (let index = 1; index < 5; index += 1) {
    const digit = hexDigit(text.charCodeAt(index));
    if (digit < 0) return shapeFailure;
    counter = counter * 16 + digit;
  }
  const end = text.length - 5;
  let at = 5;
  let count = 0;
  let positionUm = 0;
  let clockUs = 0;
  let wiperCounts = 0;
  while (at < end) {
    if (text.charCodeAt(at) !== 0x20) return shapeFailure;
    at += 1;
    const start = at;
    const negative = text.charCodeAt(at) === 0x2d;
    if (negative) at += 1;
    const firstDigit = at;
    let value = 0;
    while (at < end) {
      const digit = text.charCodeAt(at) - 0x30;
      if (digit < 0 || digit > 9) break;
      value = value * 10 + digit;
      at += 1;
    }
    const digits = at - firstDigit;
    if (digits === 0 || digits > 10) return shapeFailure;
    if (text.charCodeAt(firstDigit) === 0x30 && (digits > 1 || firstDigit !== start)) return shapeFailure;
    if (negative) value = -value;
    if (value < MIN_VALUE || value > MAX_VALUE) return shapeFailure;
    if (count === 0) positionUm = value;
    else if (count === 1) clockUs = value;
    else if (count === 2) wiperCounts = value;
    count += 1;
  }
  if (count < 3 || count > MAX_FIELDS) return shapeFailure;
  return { ok: true, sample: { counter, positionUm, clockUs, wiperCounts } };
}

function hexDigit(code: number): number {
  if (code >= 0x30 && code <= 0x39) return code - 0x30;
  if (code >= 0x41 && code <= 0x46) return code - 0x37;
  return -1;
}
