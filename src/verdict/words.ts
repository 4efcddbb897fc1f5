/**
 * The four verdict words with their shapes and meanings: one source for paper, screen and terminal.
 * Colour never stands alone, so every word has a shape that is told apart in black and white too.
 */
import type { Zone } from './zones.ts';

/** One stroke or filled area of a shape, in a 16 x 16 box. `dash` is an SVG/canvas dash pattern. */
export interface ShapePart {
  readonly path: string;
  readonly paint: 'fill' | 'stroke';
  readonly strokeWidth?: number;
  readonly dash?: readonly number[];
}

export interface VerdictStyle {
  readonly word: Zone;
  /** One cell wide in a terminal. */
  readonly character: string;
  readonly shape: readonly ShapePart[];
  /** How a curve of this verdict is dashed; empty = solid. */
  readonly lineDash: readonly number[];
  readonly lineWidthPx: number;
  /** What the word says, for a reader who has never seen the bench. */
  readonly meaning: string;
  /** The rule that gives the word; U is the expanded uncertainty, k = 2. */
  readonly rule: string;
}

const disc = 'M8 1.5a6.5 6.5 0 1 0 0 13a6.5 6.5 0 1 0 0-13Z';
const ring = 'M8 2.25a5.75 5.75 0 1 0 0 11.5a5.75 5.75 0 1 0 0-11.5Z';

export const verdictStyles: Readonly<Record<Zone, VerdictStyle>> = {
  pass: {
    word: 'pass',
    character: '●',
    shape: [{ path: disc, paint: 'fill' }],
    lineDash: [],
    lineWidthPx: 1,
    meaning: 'The fader keeps its law, and the measurement is good enough to say so.',
    rule: 'Every checked value lies inside its limits after the limits were drawn in by U.',
  },
  doubt: {
    word: 'doubt',
    character: '◐',
    shape: [
      { path: ring, paint: 'stroke', strokeWidth: 1.5 },
      { path: 'M8 2.25a5.75 5.75 0 1 0 0 11.5Z', paint: 'fill' },
    ],
    lineDash: [7, 3],
    lineWidthPx: 1.5,
    meaning: 'A value lies so near a limit that this measurement cannot tell on which side it is.',
    rule: 'No value fails, but at least one lies within U of a limit. A doubt never counts as a pass.',
  },
  fail: {
    word: 'fail',
    character: '■',
    // The bar is cut out of the square: its outline runs the other way round.
    shape: [{ path: 'M2 2H14V14H2ZM4.5 6.9V9.1H11.5V6.9Z', paint: 'fill' }],
    lineDash: [],
    lineWidthPx: 2.25,
    meaning: 'The fader breaks its law, and the measurement is good enough to say so.',
    rule: 'At least one checked value lies outside its limits by more than U.',
  },
  void: {
    word: 'void',
    character: '◌',
    shape: [{ path: ring, paint: 'stroke', strokeWidth: 1.5, dash: [2.6, 1.92] }],
    lineDash: [2, 3],
    lineWidthPx: 1.25,
    meaning: 'Nothing may be said: something was not measured, or the station was not fit to measure.',
    rule: 'A reading is missing, the run was broken off, or the calibration was missing, overdue or disturbed.',
  },
};

/** Good news first: the order of counts and legends. */
export const verdictOrder: readonly Zone[] = ['pass', 'doubt', 'fail', 'void'];

/** What needs attention first: the order of tables. */
export const attentionOrder: readonly Zone[] = ['fail', 'doubt', 'void', 'pass'];
