/** Options that several commands share, and how their values are read. */
import { resolve } from 'node:path';
import { type Command, InvalidArgumentError } from 'commander';
import { defaultArchivePath } from '../core/places.ts';
import { openTerminal, type Terminal } from './terminal.ts';

export interface Shared {
  readonly archivePath: string;
  readonly terminal: Terminal;
}

/** The options given before or after the command word, with their defaults. */
export function shared(command: Command): Shared {
  const { archive, json } = command.optsWithGlobals<{ archive?: string; json: boolean }>();
  return { archivePath: archive === undefined ? defaultArchivePath() : resolve(archive), terminal: openTerminal(json) };
}

export function wholeNumber(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new InvalidArgumentError('Give a whole number, 0 or more.');
  return Number(text);
}

export function positiveNumber(text: string): number {
  const value = Number(text);
  if (!/^\d+(\.\d+)?$/.test(text) || !(value > 0))
    throw new InvalidArgumentError('Give a number above 0, with a decimal point.');
  return value;
}

export function share(text: string): number {
  const value = Number(text);
  if (!/^\d+(\.\d+)?$/.test(text) || value > 1) throw new InvalidArgumentError('Give a share from 0 to 1, e.g. 0.15.');
  return value;
}

/** An ISO date (2026-11-25) or date-time; answered as given, checked to be one. */
export function isoDate(text: string): string {
  if (!/^\d{4}-\d{2}-\d{2}(T[\d:.]+Z?)?$/.test(text) || Number.isNaN(Date.parse(text))) {
    throw new InvalidArgumentError('Give a date as 2026-11-25 or 2026-11-25T08:00:00Z.');
  }
  return text;
}
