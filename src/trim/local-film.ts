/** The film at a place as the planner sees it: what earlier cuts have left of it, and its sheet resistance. */
import type { Cut, CutSide, CuttingRules, TrackProfile } from './trim.ts';

/** Two plunges of one side closer than this are one cut made deeper, mm. */
export const samePlaceMm = 0.5;

/** Depth that shaves have taken off one side at a place, mm. Each shave counts from the edge the one before left. */
export function shavedMm(cuts: readonly Cut[], side: CutSide, atMm: number): number {
  let depth = 0;
  for (const cut of cuts)
    if (cut.kind === 'shave' && cut.side === side && cut.fromMm <= atMm && atMm < cut.toMm) depth += cut.depthMm;
  return depth;
}

/** Depth that plunges have taken at a place of one side, mm. */
export function plungedMm(cuts: readonly Cut[], side: CutSide, atMm: number): number {
  let depth = 0;
  for (const cut of cuts)
    if (cut.kind === 'plunge' && cut.side === side && Math.abs(cut.atMm - atMm) < samePlaceMm) depth += cut.depthMm;
  return depth;
}

/** Width left by shaves at a place, mm. */
export function widthLeftMm(cuts: readonly Cut[], rules: CuttingRules, atMm: number): number {
  return rules.widthMm - shavedMm(cuts, 'left', atMm) - shavedMm(cuts, 'right', atMm);
}

/** Places between which the shaves' depth does not change, from `fromMm` to `toMm`, both included. */
export function evenStretchesMm(cuts: readonly Cut[], fromMm: number, toMm: number): number[] {
  const places = [fromMm, toMm];
  for (const cut of cuts) {
    if (cut.kind !== 'shave') continue;
    for (const mm of [cut.fromMm, cut.toMm]) if (mm > fromMm && mm < toMm) places.push(mm);
  }
  return places.sort((a, b) => a - b);
}

/** Deepest that one side is cut anywhere in a stretch, mm, plunges included. */
export function deepestMm(cuts: readonly Cut[], side: CutSide, fromMm: number, toMm: number): number {
  let deepest = 0;
  const places = evenStretchesMm(cuts, fromMm, toMm);
  for (let i = 1; i < places.length; i++)
    deepest = Math.max(deepest, shavedMm(cuts, side, ((places[i - 1] ?? 0) + (places[i] ?? 0)) / 2));
  for (const cut of cuts)
    if (cut.kind === 'plunge' && cut.side === side && cut.atMm >= fromMm && cut.atMm <= toMm)
      deepest = Math.max(deepest, shavedMm(cuts, side, cut.atMm) + plungedMm(cuts, side, cut.atMm));
  return deepest;
}

/**
 * How the sheet resistance grades within a cell, mean 1 over the cell: the law runs straight in dB between taps, so the
 * film grades exponentially there; the two end cells are even.
 */
export interface CellGrade {
  readonly fromMm: number;
  readonly toMm: number;
  readonly perMm: number;
}

export function gradeOf(profile: TrackProfile, cellIndex: number): CellGrade | null {
  const cell = profile.cells[cellIndex];
  if (!cell || !(cell.toMm > cell.fromMm)) return null;
  const below = profile.taps[cellIndex - 1];
  const above = profile.taps[cellIndex];
  const graded = below !== undefined && above !== undefined && below.ratio > 0 && above.ratio > below.ratio;
  const perMm = graded ? Math.log(above.ratio / below.ratio) / (cell.toMm - cell.fromMm) : 0;
  return { fromMm: cell.fromMm, toMm: cell.toMm, perMm };
}

/** Mean of the grade from `fromMm` to `toMm`, or its value there when they are the same place. */
export function meanGrade(grade: CellGrade, fromMm: number, toMm: number): number {
  const { perMm } = grade;
  const lengthMm = grade.toMm - grade.fromMm;
  if (Math.abs(perMm) * lengthMm < 1e-9) return 1;
  const whole = Math.expm1(perMm * lengthMm) / (perMm * lengthMm);
  const start = Math.exp(perMm * (fromMm - grade.fromMm));
  const spanMm = toMm - fromMm;
  const stretch = spanMm > 1e-9 ? Math.expm1(perMm * spanMm) / (perMm * spanMm) : 1;
  return (start * stretch) / whole;
}
