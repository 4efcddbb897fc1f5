/** Ticks and marks of a fader's scale: every 10 mm, half ticks every 2 mm, the law's own marks at their true travel. Pure. */
import type { LawMark } from '../../src/law/law.ts';

export interface ScaleTick {
  readonly travelMm: number;
  readonly isTen: boolean;
}

const tickStepMm = 2;

/** Ticks between two travels, both inclusive. Beyond 150 ticks only the tens stay, beyond that none: they would be a grey bar. */
export function ticksBetween(fromMm: number, toMm: number): readonly ScaleTick[] {
  if (!(toMm > fromMm)) return [];
  // Rounding a little below 0 up gives a negative zero.
  const first = Math.ceil(fromMm / tickStepMm - 1e-9) + 0;
  const last = Math.floor(toMm / tickStepMm + 1e-9);
  const onlyTens = last - first > 150;
  if (onlyTens && (last - first) / 5 > 150) return [];
  const ticks: ScaleTick[] = [];
  for (let step = first; step <= last; step += 1) {
    const isTen = step % 5 === 0;
    if (isTen || !onlyTens) ticks.push({ travelMm: step * tickStepMm, isTen });
  }
  return ticks;
}

export interface PlacedText {
  readonly text: string;
  readonly travelMm: number;
  /** Middle of the text along the axis, px. */
  readonly atPx: number;
  readonly isZero: boolean;
}

/** The 0 of the scale, however it is printed. */
export const isZeroMark = (text: string): boolean => /^[+\-\u2212]?0$/.test(text.trim());

/** A minus as the scale prints it. */
export const markText = (text: string): string => text.replace(/^-/, '\u2212');

/**
 * Which mark texts fit along an axis without touching. The 0 and the two ends are kept first, the others from the open
 * end down: there the marks are far apart and matter most.
 *
 * @param placePx where a travel lies on the axis
 * @param extentPx how much of the axis a text covers
 */
export function placedMarks(
  marks: readonly LawMark[],
  placePx: (travelMm: number) => number,
  extentPx: (text: string) => number,
): readonly PlacedText[] {
  const all = marks.map(({ travelMm, text }) => ({
    travelMm,
    text: markText(text),
    atPx: placePx(travelMm),
    isZero: isZeroMark(text),
  }));
  const rank = (mark: PlacedText): number => {
    if (mark.isZero) return 0;
    if (mark.travelMm === all[0]?.travelMm || mark.travelMm === all.at(-1)?.travelMm) return 1;
    return 2;
  };
  const kept: PlacedText[] = [];
  for (const mark of all.toSorted((a, b) => rank(a) - rank(b) || b.travelMm - a.travelMm)) {
    const half = extentPx(mark.text) / 2;
    const isFree = kept.every((other) => Math.abs(other.atPx - mark.atPx) >= half + extentPx(other.text) / 2);
    if (isFree) kept.push(mark);
  }
  return kept.toSorted((a, b) => a.travelMm - b.travelMm);
}
