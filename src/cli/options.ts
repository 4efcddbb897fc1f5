/** Options that several commands share, and how their values are read. */
import { resolve } from 'node:path';
import { type Command, InvalidArgumentError } from 'commander';
import { defaultArchivePath } from '../core/places.ts';
import { openTerminal, type Terminal } from './terminal.ts';

export interface Shared {
  readonly archivePath: string;
  /** True when `--archive` was given. */
  readonly isArchiveGiven: boolean;
  readonly terminal: Terminal;
}

/** The options given before or after the command word, with their defaults. */
export function shared(command: Command): Shared {
  const { archive, json } = command.optsWithGlobals<{ archive?: string; json: boolean }>();
  return {
    archivePath: archive === undefined ? defaultArchivePath() : resolve(archive),
    isArchiveGiven: archive !== undefined,
    terminal: openTerminal(json),
  };
}

export function wholeNumber(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new InvalidArgumentError('Give a whole number from 0 to 999999999.');
  return Number(text);
}

/** The contract's own limits, said before anything is started. */
const largestBatch = 100_000;
const fastest = 1_000;

export function batchSize(text: string): number {
  const value = Number(text);
  if (!/^\d{1,6}$/.test(text) || value < 1 || value > largestBatch) {
    throw new InvalidArgumentError(`Give a number of faders from 1 to ${largestBatch}.`);
  }
  return value;
}

export function timeFactor(text: string): number {
  const value = Number(text);
  if (!/^\d+(\.\d+)?$/.test(text) || !(value > 0 && value <= fastest)) {
    throw new InvalidArgumentError(`Give a number above 0 and up to ${fastest}, with a decimal point.`);
  }
  return value;
}

export function share(text: string): number {
  const value = Number(text);
  if (!/^\d+(\.\d+)?$/.test(text) || value > 1) throw new InvalidArgumentError('Give a share from 0 to 1, e.g. 0.15.');
  return value;
}

/** Who measures, as the window takes them too: one to eight letters or digits, kept in capitals. */
export function initials(text: string): string {
  const clean = text.trim().toUpperCase();
  if (!/^[\p{L}\p{N}]{1,8}$/u.test(clean)) {
    throw new InvalidArgumentError('Give one to eight letters or digits, without spaces, e.g. KD.');
  }
  return clean;
}

/** A name of a batch, a law or a rig. */
export function shortName(text: string): string {
  const trimmed = text.trim();
  if (trimmed === '' || trimmed.length > 100 || /[\p{Cc}\p{Cf}]/u.test(trimmed)) {
    throw new InvalidArgumentError('Give a name of 1 to 100 readable characters.');
  }
  return trimmed;
}

/** An ISO date (2026-11-25, its beginning in UTC) or date-time, as the whole date-time that the archive asks for. */
export function isoDate(text: string): string {
  const match = /^(\d{4}-\d{2}-\d{2})(T\d{2}:\d{2}(:\d{2}(\.\d{1,3})?)?Z)?$/.exec(text);
  const at = match === null ? Number.NaN : Date.parse(text);
  // A day that its month does not have is read as one of the next month.
  if (Number.isNaN(at) || !new Date(at).toISOString().startsWith(match?.[1] ?? '-')) {
    throw new InvalidArgumentError('Give a date as 2026-11-25 or 2026-11-25T08:00:00Z.');
  }
  return new Date(at).toISOString();
}
