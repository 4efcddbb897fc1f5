/** A fader's own number: part, two-digit year, week and running number, as in `PF104-26-48-00017`. */
export interface SerialNumber {
  /** Part without its dash, upper case: `PF104`. */
  readonly part: string;
  /** Two-digit year, 0..99. */
  readonly year: number;
  /** ISO week, 1..53. */
  readonly week: number;
  /** Running number within part and week, 1..99999. */
  readonly running: number;
}

/** The text is not a serial number. `part` names the piece at fault. */
export class SerialNumberError extends Error {
  override readonly name = 'SerialNumberError';
  readonly code = 'serialNumberMalformed';
  readonly userFixable = true;
  readonly text: string;

  constructor(text: string, reason: string) {
    const shown = text.length > 40 ? `${text.slice(0, 40)}...` : text;
    super(`"${shown}" is not a serial number: ${reason}. Scan the label again, or type it like PF104-26-48-00017.`);
    this.text = text;
  }
}

const pattern = /^([A-Z]{1,4}\d{1,4})-(\d{2})-(\d{2})-(\d{5})$/;
const partPattern = /^([A-Z]{1,4})-?(\d{1,4})$/;

/**
 * What scanners and hands add, taken away: control characters, spaces, a symbology prefix such as `]C1`,
 * lower case, and the typographic dashes some keyboards send.
 */
function withoutNoise(text: string): string {
  return [...text]
    .filter((c) => c.charCodeAt(0) > 0x20 && c.charCodeAt(0) !== 0x7f && !/\s|[\u200b-\u200f\ufeff]/u.test(c))
    .join('')
    .replace(/^\][A-Za-z][0-9A-Za-z]/u, '')
    .replace(/[\u2010-\u2015\u2212\u00ad\uff0d]/gu, '-')
    .toUpperCase();
}

/** @throws SerialNumberError */
export function parseSerialNumber(text: string): SerialNumber {
  const clean = withoutNoise(text);
  if (clean === '') throw new SerialNumberError(text, 'nothing readable was given');
  const match = pattern.exec(clean);
  if (!match) throw new SerialNumberError(text, 'it must be part, year, week and five digits joined by dashes');
  const [, part = '', year = '', week = '', running = ''] = match;
  const parsed = { part, year: Number(year), week: Number(week), running: Number(running) };
  const fault = faultOf(parsed);
  if (fault) throw new SerialNumberError(text, fault);
  return parsed;
}

function faultOf(serial: SerialNumber): string | null {
  if (!/^[A-Z]{1,4}\d{1,4}$/.test(serial.part)) return 'the part must be letters followed by digits, like PF104';
  if (!Number.isInteger(serial.year) || serial.year < 0 || serial.year > 99) return 'the year must be 00 to 99';
  if (!Number.isInteger(serial.week) || serial.week < 1 || serial.week > 53) return 'the week must be 01 to 53';
  if (!Number.isInteger(serial.running) || serial.running < 1 || serial.running > 99999)
    return 'the running number must be 00001 to 99999';
  return null;
}

/** The one written form; `parseSerialNumber` gives the same object back. @throws SerialNumberError on impossible fields. */
export function formatSerialNumber(serial: SerialNumber): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  const text = `${serial.part}-${two(serial.year)}-${two(serial.week)}-${String(serial.running).padStart(5, '0')}`;
  const fault = faultOf(serial);
  if (fault) throw new SerialNumberError(text, fault);
  return text;
}

/** True when the text is a serial number once scanner noise is taken away. */
export function isSerialNumber(text: string): boolean {
  try {
    parseSerialNumber(text);
    return true;
  } catch (error) {
    if (error instanceof SerialNumberError) return false;
    throw error;
  }
}

/** `PF-104` or `PF104` -> `PF104`. @throws SerialNumberError */
export function partOfSerial(partName: string): string {
  const match = partPattern.exec(withoutNoise(partName));
  if (!match) throw new SerialNumberError(partName, 'the part must be letters followed by digits, like PF-104');
  return `${match[1] ?? ''}${match[2] ?? ''}`;
}

/** `PF104` -> `PF-104`, the name the law carries. @throws SerialNumberError */
export function partName(part: string): string {
  const match = partPattern.exec(withoutNoise(part));
  if (!match) throw new SerialNumberError(part, 'the part must be letters followed by digits, like PF104');
  return `${match[1] ?? ''}-${match[2] ?? ''}`;
}
