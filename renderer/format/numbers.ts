/** Numbers as the look wants them: true minus, fixed places, the decimal sign of the settings, a dash for a gap. */
import { settingsStore } from '../bridge/station.ts';

export const dash = '\u2013';
const minus = '\u2212';

function spelled(text: string): string {
  const signed = text.replace('-', minus);
  return settingsStore.get()?.decimalSign === 'comma' ? signed.replace('.', ',') : signed;
}

export function numberText(value: number | null | undefined, places: number): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return dash;
  const text = value.toFixed(places);
  return spelled(Number(text) === 0 ? text.replace('-', '') : text);
}

/** A sentence of the core, with the true minus before its numbers; a serial keeps its hyphens. */
export const sentenceText = (text: string): string => text.replaceAll(/(?<![\p{L}\p{N}])-(?=\d)/gu, minus);

/** With its sign, for deviations. */
export function signedText(value: number | null | undefined, places: number): string {
  const text = numberText(value, places);
  return value !== null && value !== undefined && Number(value.toFixed(places)) > 0 ? `+${text}` : text;
}
