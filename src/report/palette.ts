/**
 * Colours and type of everything printed or shown, in both themes: one place.
 * The ground is the pale green of a bench computation pad, the ink a green-black, and the one accent
 * the violet of an indelible pencil: the law and whatever the bench itself wrote. Verdict colours are
 * the only others. Text colours keep at least 4.5:1 on `paper` and `sheet` (tested).
 */
import type { VerdictWord } from '../archive/records.ts';

export interface Palette {
  /** Ground of the page. */
  readonly paper: string;
  /** Ground of charts and tables. */
  readonly sheet: string;
  readonly ink: string;
  /** Secondary text. */
  readonly pencil: string;
  /** Hairlines and chart grid. */
  readonly rule: string;
  /** Stronger rules: table heads, axes. */
  readonly edge: string;
  /** The accent: the law. */
  readonly violet: string;
  /** The tolerance band. */
  readonly band: string;
  readonly verdict: Readonly<Record<VerdictWord, string>>;
}

export const lightPalette: Palette = {
  paper: '#eff3ec',
  sheet: '#fafcf8',
  ink: '#16211b',
  pencil: '#4f5d54',
  rule: '#d3ddd0',
  edge: '#8b9a8e',
  violet: '#4c3a9e',
  band: '#e2def3',
  verdict: { pass: '#2b6b4c', doubt: '#8a5600', fail: '#b3241b', void: '#56606e' },
};

export const darkPalette: Palette = {
  paper: '#111814',
  sheet: '#18211c',
  ink: '#e6ece5',
  pencil: '#a3b1a6',
  rule: '#2b3730',
  edge: '#66756b',
  violet: '#b3a5fb',
  band: '#2c2a48',
  verdict: { pass: '#7fc79f', doubt: '#e6b04d', fail: '#ff8376', void: '#a4b0c0' },
};

/** Narrow engraved-scale lettering for headings, labels and numbers; whatever of it the machine has. */
export const labelFonts =
  "Bahnschrift, 'DIN Alternate', 'Avenir Next Condensed', 'Roboto Condensed', 'Liberation Sans Narrow', 'Nimbus Sans Narrow', 'Arial Narrow', 'DejaVu Sans Condensed', sans-serif";

/** Book face for sentences. */
export const proseFonts = "Charter, 'Bitstream Charter', 'Sitka Text', Cambria, 'Liberation Serif', Georgia, serif";

const customProperties = (palette: Palette): string =>
  [
    `--paper:${palette.paper}`,
    `--sheet:${palette.sheet}`,
    `--ink:${palette.ink}`,
    `--pencil:${palette.pencil}`,
    `--rule:${palette.rule}`,
    `--edge:${palette.edge}`,
    `--violet:${palette.violet}`,
    `--band:${palette.band}`,
    ...Object.entries(palette.verdict).map(([word, colour]) => `--${word}:${colour}`),
  ].join(';');

/** Both themes as CSS custom properties; paper is always printed light. */
export function paletteCss(): string {
  return [
    `:root{color-scheme:light dark;--label:${labelFonts};--prose:${proseFonts};${customProperties(lightPalette)}}`,
    `@media screen and (prefers-color-scheme:dark){:root{${customProperties(darkPalette)}}}`,
    `@media print{:root{color-scheme:light}}`,
  ].join('\n');
}
