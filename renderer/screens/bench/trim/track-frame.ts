/** Where marks, film and ruler stand beside each other in the track's column. Pure. */
import type { CuttingRules } from '../../../../src/trim/trim.ts';

export interface TrackColumns {
  readonly widthPx: number;
  /** Right edge of the printed marks' texts. */
  readonly markTextPx: number;
  readonly markFromPx: number;
  readonly markToPx: number;
  /** Right edge of the numbers of cuts on the left side. */
  readonly leftNumberPx: number;
  readonly filmFromPx: number;
  readonly filmToPx: number;
  readonly rightNumberPx: number;
  readonly rulerPx: number;
  readonly rulerTextPx: number;
  /** Across the film; along it the travel axis has a scale of its own. */
  readonly pxPerMmAcross: number;
}

/** @param textPx height of the small text */
export function trackColumns(rules: CuttingRules, textPx: number): TrackColumns {
  const number = textPx * 1.45;
  const markTextPx = textPx * 2.3;
  const markFromPx = markTextPx + 6;
  const markToPx = markFromPx + textPx;
  const leftNumberPx = markToPx + 4 + number;
  const filmFromPx = Math.round(leftNumberPx + 8);
  const pxPerMmAcross = Math.round(textPx * 1.4);
  const filmToPx = filmFromPx + Math.round(rules.widthMm * pxPerMmAcross);
  const rightNumberPx = filmToPx + 8;
  const rulerPx = Math.round(rightNumberPx + number + 4);
  const rulerTextPx = rulerPx + 20;
  return {
    widthPx: Math.ceil(rulerTextPx + textPx * 2),
    markTextPx,
    markFromPx,
    markToPx,
    leftNumberPx,
    filmFromPx,
    filmToPx,
    rightNumberPx,
    rulerPx,
    rulerTextPx,
    pxPerMmAcross,
  };
}
