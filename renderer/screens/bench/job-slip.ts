/** What is to be measured next: the slip that travels with the piece. Kept while screens change. */
import {
  formatSerialNumber,
  parseSerialNumber,
  partName,
  SerialNumberError,
} from '../../../src/fader/serial-number.ts';
import { makeStore } from '../../bridge/store.ts';

export type MeasuringJob = 'measure' | 'trim' | 'goodsIn' | 'retest';

/** The serial in the scan field and how it came there. */
export interface NextPiece {
  readonly text: string;
  /**
   * `offered` = by the virtual rig; `typed` waits for an Enter that takes it; `taken` = scanned or confirmed;
   * `misread` = scanned or confirmed, but no serial number;
   * `early` = taken while another piece was measured, so that one's verdict is still to be read.
   */
  readonly state: 'empty' | 'offered' | 'typed' | 'misread' | 'taken' | 'early';
}

export const noPiece: NextPiece = { text: '', state: 'empty' };

export const nextPieceStore = makeStore<NextPiece>(noPiece);
export const chosenOperator = makeStore<string | null>(null);
export const chosenLaw = makeStore<string | null>(null);
export const chosenBatch = makeStore<string>('');
export const chosenJob = makeStore<MeasuringJob>('measure');

export interface ReadSerial {
  /** As it is written everywhere; null when the text is no serial number. */
  readonly serial: string | null;
  /** The law that its part names, `PF-104`; null when the text is no serial number. */
  readonly partLawId: string | null;
  readonly problem: string | null;
}

/** What the scan field's text says. An empty field has no problem yet. */
export function readSerial(text: string): ReadSerial {
  if (text.trim() === '') return { serial: null, partLawId: null, problem: null };
  try {
    const parsed = parseSerialNumber(text);
    return { serial: formatSerialNumber(parsed), partLawId: partName(parsed.part), problem: null };
  } catch (error) {
    if (error instanceof SerialNumberError) return { serial: null, partLawId: null, problem: error.message };
    throw error;
  }
}

/** The field after a scan, or after the Enter that takes what was typed. A text that is no serial stays to be mended. */
export function taken(text: string): NextPiece {
  const { serial, problem } = readSerial(text);
  if (serial !== null) return { text: serial, state: 'taken' };
  return problem === null ? noPiece : { text: text.trim(), state: 'misread' };
}

export function typed(text: string): NextPiece {
  return text === '' ? noPiece : { text, state: 'typed' };
}

/** The field when the virtual rig offers a fader (or, with null, no longer does). What a person gave stays. */
export function withOffer(now: NextPiece, offered: string | null): NextPiece {
  if (now.state !== 'empty' && now.state !== 'offered') return now;
  if (offered === null) return now.state === 'offered' ? noPiece : now;
  return { text: offered, state: 'offered' };
}

/** The field when a verdict has come: a piece scanned meanwhile must not hide it. */
export const afterVerdict = (now: NextPiece): NextPiece => (now.state === 'taken' ? { ...now, state: 'early' } : now);

/** Splits a serial into what the batch shares and the piece's own number. */
export function serialParts(serial: string): { readonly shared: string; readonly own: string } {
  const at = serial.lastIndexOf('-') + 1;
  return { shared: serial.slice(0, at), own: serial.slice(at) };
}
