/** The track to scale: film, swath, margins, conductors and notches as rectangles in mm. Pure. */
import type { Cut, CuttingRules, TrackCell } from '../../../../src/trim/trim.ts';

/** A rectangle on the film: across it from the left edge, along it from the closed end, mm. */
export interface FilmPart {
  readonly leftMm: number;
  readonly rightMm: number;
  readonly fromMm: number;
  readonly toMm: number;
}

/** Width of a blade's or a laser's trace, mm; only how thin a plunge is drawn depends on it. */
const kerfMm = 0.25;

const across = (rules: CuttingRules, side: Cut['side'], depthMm: number): Pick<FilmPart, 'leftMm' | 'rightMm'> =>
  side === 'left' ? { leftMm: 0, rightMm: depthMm } : { leftMm: rules.widthMm - depthMm, rightMm: rules.widthMm };

/** The film that a cut takes away. */
export function notchOf(cut: Cut, rules: CuttingRules): FilmPart {
  const along =
    cut.kind === 'shave'
      ? { fromMm: cut.fromMm, toMm: cut.toMm }
      : { fromMm: cut.atMm - kerfMm / 2, toMm: cut.atMm + kerfMm / 2 };
  return { ...across(rules, cut.side, cut.depthMm), ...along };
}

/** Where the middle of a cut lies, mm from the closed end. */
export const placeOf = (cut: Cut): number => (cut.kind === 'shave' ? (cut.fromMm + cut.toMm) / 2 : cut.atMm);

export interface TrackParts {
  readonly film: FilmPart;
  /** Where fingers run: never cut. */
  readonly swath: FilmPart;
  /** Beside each conductor edge: never cut. */
  readonly margins: readonly FilmPart[];
  readonly conductors: readonly FilmPart[];
}

/** @param travelMm whole travel of the fader; the conductors run on to its ends */
export function trackParts(rules: CuttingRules, travelMm: number): TrackParts {
  const { widthMm, swathMm, endMarginMm, closedEdgeMm, openEdgeMm } = rules;
  const whole = (fromMm: number, toMm: number): FilmPart => ({ leftMm: 0, rightMm: widthMm, fromMm, toMm });
  return {
    film: whole(closedEdgeMm, openEdgeMm),
    swath: {
      leftMm: (widthMm - swathMm) / 2,
      rightMm: (widthMm + swathMm) / 2,
      fromMm: closedEdgeMm,
      toMm: openEdgeMm,
    },
    margins: [whole(closedEdgeMm, closedEdgeMm + endMarginMm), whole(openEdgeMm - endMarginMm, openEdgeMm)],
    conductors: [whole(Math.min(0, closedEdgeMm), closedEdgeMm), whole(openEdgeMm, Math.max(travelMm, openEdgeMm))],
  };
}

/** The taps between cells, mm from the closed end: each a place where the wiper was read. */
export const tapsOf = (cells: readonly TrackCell[]): readonly number[] => cells.slice(1).map((cell) => cell.fromMm);

export interface MarkPlace {
  readonly number: number;
  /** True place, px. */
  readonly atPx: number;
  /** Where its number stands, px: beside others of the same side without touching. */
  readonly labelPx: number;
}

/** Sets the numbers of one side apart, each as near to its cut as the others let it, all inside `fromPx`..`toPx`. */
export function setApart(
  places: readonly { readonly number: number; readonly atPx: number }[],
  leastPx: number,
  fromPx: number,
  toPx: number,
): readonly MarkPlace[] {
  const sorted = places.toSorted((a, b) => a.atPx - b.atPx);
  const spread = new Array<number>(sorted.length).fill(0);
  let free = fromPx;
  sorted.forEach(({ atPx }, index) => {
    spread[index] = Math.max(atPx, free);
    free = (spread[index] ?? 0) + leastPx;
  });
  let last = toPx;
  for (let index = sorted.length - 1; index >= 0; index -= 1) {
    spread[index] = Math.min(spread[index] ?? 0, last);
    last = (spread[index] ?? 0) - leastPx;
  }
  return sorted.map((place, index) => ({ ...place, labelPx: spread[index] ?? place.atPx }));
}
