/** Progress as a ruler: one mark a step, or a round number of steps where they would run together. Pure. */
export interface RulerMark {
  /** 0..1 along the ruler. */
  readonly share: number;
  readonly isLong: boolean;
}

const spacings = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1_000] as const;

/** @param most marks that have room beside each other */
export function rulerMarks(stepCount: number, most: number): readonly RulerMark[] {
  if (stepCount < 1) return [];
  const every = spacings.find((spacing) => stepCount / spacing <= most) ?? Math.ceil(stepCount / most);
  const marks = Array.from({ length: Math.floor(stepCount / every) + 1 }, (_, index) => ({
    share: (index * every) / stepCount,
    isLong: index % 5 === 0,
  }));
  return stepCount % every === 0 ? marks : [...marks, { share: 1, isLong: true }];
}

/** Where the index mark stands; never beyond the ruler's ends. */
export const rulerPlace = (fraction: number): number =>
  Number.isFinite(fraction) ? Math.min(1, Math.max(0, fraction)) : 0;
