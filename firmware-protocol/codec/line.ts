/** One line of the wire: from text to fields and back. The grammar is in SPEC.md, "Lines". */
import { crc16Prefix, crcHex, hex4 } from './crc16.ts';
import { WireFormatError } from './errors.ts';

/** Longest line in bytes, the LF included. */
export const MAX_LINE_BYTES = 96;
/** Shortest line in characters, without the LF: kind, number, space, checksum. */
export const MIN_LINE_CHARS = 10;
/** Most `key=value` fields or sample values in one line. */
export const MAX_FIELDS = 16;
export const MAX_VALUE = 4_294_967_295;
export const MIN_VALUE = -2_147_483_648;

export type LineKind = 'order' | 'express' | 'answer' | 'working' | 'refusal' | 'event' | 'sample';

export interface WireLine {
  readonly kind: LineKind;
  /** Order or express number, event counter or sample counter, 0..65535. */
  readonly number: number;
  /** The word of an order, express line or event; the code of a refusal; null in all others. */
  readonly word: string | null;
  readonly fields: Readonly<Record<string, number>>;
  /** Text fields: `rig`, `ser`, `fw` of hello's answer and `at` of a refusal. */
  readonly texts: Readonly<Record<string, string>>;
  /** Positional integers of a sample; empty in all others. */
  readonly values: readonly number[];
}

/** What `formatLine` needs: kind and number, the rest where the kind has it. */
export type WireLineDraft = Pick<WireLine, 'kind' | 'number'> & Partial<WireLine>;

/** Why a line was dropped, checked in this order. */
export type ParseFailure = 'length' | 'charset' | 'crc' | 'shape';
export type ParseResult =
  | { readonly ok: true; readonly line: WireLine }
  | { readonly ok: false; readonly reason: ParseFailure };

const kindOfMark: Readonly<Record<string, LineKind>> = {
  '>': 'order',
  '~': 'express',
  '<': 'answer',
  '%': 'working',
  '!': 'refusal',
  '*': 'event',
  '.': 'sample',
};
export const markOfKind: Readonly<Record<LineKind, string>> = {
  order: '>',
  express: '~',
  answer: '<',
  working: '%',
  refusal: '!',
  event: '*',
  sample: '.',
};

const kindsWithWord: ReadonlySet<LineKind> = new Set(['order', 'express', 'refusal', 'event']);
/** The type of a value is known from kind and key, never guessed from the value: a serial number may be all digits. */
const textKeys: Readonly<Partial<Record<LineKind, ReadonlySet<string>>>> = {
  answer: new Set(['rig', 'ser', 'fw']),
  refusal: new Set(['at']),
};

const hexPattern = /^[0-9A-F]{4}$/;
const wordPattern = /^[a-z]{1,10}$/;
const keyPattern = /^[a-z][a-z0-9]{0,3}$/;
const integerPattern = /^(?:0|-?[1-9][0-9]{0,9})$/;
const textPattern = /^[A-Za-z0-9._-]{1,20}$/;
const minSampleValues = 3;

export function isWireInteger(value: number): boolean {
  return Number.isInteger(value) && value >= MIN_VALUE && value <= MAX_VALUE;
}

/** Length, characters and checksum; null when all three are right. */
export function frameFailure(text: string): Exclude<ParseFailure, 'shape'> | null {
  const length = text.length;
  if (length > MAX_LINE_BYTES - 1 || length < MIN_LINE_CHARS) return 'length';
  for (let index = 0; index < length; index += 1) {
    const code = text.charCodeAt(index);
    if (code < 0x20 || code > 0x7e) return 'charset';
  }
  // Compared as text: lower-case digits are refused, so that no flipped case bit can pass.
  if (text.charCodeAt(length - 5) !== 0x20) return 'crc';
  return hex4(crc16Prefix(text, length - 5)) === text.slice(length - 4) ? null : 'crc';
}

const shapeFailure: ParseResult = { ok: false, reason: 'shape' };

/**
 * Read one line, given without its LF. Never throws, whatever the text; a trailing CR is refused (`charset`).
 * The meaning of words and ranges is not judged here: see `checkOrder`.
 */
export function parseLine(text: string): ParseResult {
  const failure = frameFailure(text);
  if (failure !== null) return { ok: false, reason: failure };
  const kind = kindOfMark[text.charAt(0)];
  const numberText = text.slice(1, 5);
  if (kind === undefined || !hexPattern.test(numberText) || text.charAt(5) !== ' ') return shapeFailure;
  const number = Number.parseInt(numberText, 16);
  const tokens = text.length === MIN_LINE_CHARS ? [] : text.slice(6, -5).split(' ');
  if (kind === 'sample') {
    const values = parseValues(tokens);
    if (values === null) return shapeFailure;
    return { ok: true, line: { kind, number, word: null, fields: {}, texts: {}, values } };
  }
  let word: string | null = null;
  if (kindsWithWord.has(kind)) {
    word = tokens.shift() ?? '';
    if (!wordPattern.test(word)) return shapeFailure;
  }
  const read = parseFields(kind, tokens);
  if (read === null) return shapeFailure;
  return { ok: true, line: { kind, number, word, fields: read.fields, texts: read.texts, values: [] } };
}

function parseInteger(text: string): number | null {
  if (!integerPattern.test(text)) return null;
  const value = Number(text);
  return isWireInteger(value) ? value : null;
}

function parseValues(tokens: readonly string[]): number[] | null {
  if (tokens.length < minSampleValues || tokens.length > MAX_FIELDS) return null;
  const values: number[] = [];
  for (const token of tokens) {
    const value = parseInteger(token);
    if (value === null) return null;
    values.push(value);
  }
  return values;
}

function parseFields(
  kind: LineKind,
  tokens: readonly string[],
): { fields: Record<string, number>; texts: Record<string, string> } | null {
  if (tokens.length > MAX_FIELDS) return null;
  const fields: Record<string, number> = {};
  const texts: Record<string, string> = {};
  for (const token of tokens) {
    const equals = token.indexOf('=');
    const key = token.slice(0, Math.max(equals, 0));
    const valueText = token.slice(equals + 1);
    if (!keyPattern.test(key) || key in fields || key in texts) return null;
    if (textKeys[kind]?.has(key)) {
      if (!textPattern.test(valueText)) return null;
      texts[key] = valueText;
    } else {
      const value = parseInteger(valueText);
      if (value === null) return null;
      fields[key] = value;
    }
  }
  return { fields, texts };
}

/**
 * Write one line with checksum and LF; fields in the order given, texts after them.
 * Throws `WireFormatError` when a rule of the grammar or the length of 96 bytes would be broken.
 */
export function formatLine(line: WireLineDraft): string {
  const { kind, number } = line;
  const refuse = (why: string): never => {
    throw new WireFormatError(`Cannot send ${kind} ${line.word ?? ''} (number ${number}): ${why}.`);
  };
  if (!Number.isInteger(number) || number < 0 || number > 0xffff) refuse('the number is not in 0..65535');
  let body = markOfKind[kind] + hex4(number);
  const word = line.word ?? null;
  if (kindsWithWord.has(kind)) {
    if (word === null || !wordPattern.test(word)) refuse('its word is missing or not 1..10 letters a-z');
    body += ` ${word}`;
  } else if (word !== null) refuse('this kind of line has no word');
  const values = line.values ?? [];
  const fields = Object.entries(line.fields ?? {});
  const texts = Object.entries(line.texts ?? {});
  if (kind === 'sample') {
    if (values.length < minSampleValues || fields.length + texts.length > 0)
      refuse('a sample has positional values only');
  } else if (values.length > 0) refuse('only samples have positional values');
  if (values.length + fields.length + texts.length > MAX_FIELDS) refuse(`it has more than ${MAX_FIELDS} fields`);
  for (const value of values) {
    if (!isWireInteger(value)) refuse(`${value} is not an integer of the wire`);
    body += ` ${value}`;
  }
  for (const [key, value] of fields) {
    if (!keyPattern.test(key) || textKeys[kind]?.has(key)) refuse(`${key} is not a key for an integer here`);
    if (!isWireInteger(value)) refuse(`${key}=${value} is not an integer of the wire`);
    // Adding zero turns -0 into 0, which the grammar could not write.
    body += ` ${key}=${value + 0}`;
  }
  for (const [key, value] of texts) {
    if (!textKeys[kind]?.has(key)) refuse(`${key} is not a key for a text here`);
    if (!textPattern.test(value)) refuse(`${key} is not 1..20 characters of A-Z a-z 0-9 . _ -`);
    body += ` ${key}=${value}`;
  }
  const text = `${body} ${crcHex(body)}\n`;
  if (text.length > MAX_LINE_BYTES) refuse(`it would take ${text.length} bytes, the most is ${MAX_LINE_BYTES}`);
  return text;
}
