/** Where along the track a cut adds how many squares, as the wiper sees them. */
import { evenStretchesMm, plungedMm, shavedMm, widthLeftMm } from './local-film.ts';
import { bodySquares, plungeSquares, shaveEndsSquares, stepSquares } from './squares.ts';
import type { Cut, CutSide, CuttingRules } from './trim.ts';

/** Squares added evenly over a stretch; at one place when both ends are the same. */
export interface AddedPiece {
  readonly fromMm: number;
  readonly toMm: number;
  readonly squares: number;
}

/**
 * What a cut adds, given those made before it. Bodies and steps of several cuts add up to the same whatever their
 * order. Steps count for each side by itself; the two sides of one place share the width left.
 * @throws CutGeometryError when nothing of the film would be left
 */
export function addedPieces(cut: Cut, rules: CuttingRules, earlier: readonly Cut[]): AddedPiece[] {
  return cut.kind === 'shave' ? shavePieces(cut, rules, earlier) : [plungePiece(cut, rules, earlier)];
}

function plungePiece(cut: Extract<Cut, { kind: 'plunge' }>, rules: CuttingRules, earlier: readonly Cut[]): AddedPiece {
  const widthMm = widthLeftMm(earlier, rules, cut.atMm);
  const beforeMm = plungedMm(earlier, cut.side, cut.atMm);
  const squares = plungeSquares(beforeMm + cut.depthMm, widthMm) - plungeSquares(beforeMm, widthMm);
  return { fromMm: cut.atMm, toMm: cut.atMm, squares };
}

function shavePieces(cut: Extract<Cut, { kind: 'shave' }>, rules: CuttingRules, earlier: readonly Cut[]): AddedPiece[] {
  const { fromMm, toMm, side, depthMm } = cut;
  const pieces: AddedPiece[] = [];
  const places = evenStretchesMm(earlier, fromMm, toMm);
  for (let i = 1; i < places.length; i++) {
    const a = places[i - 1] ?? 0;
    const b = places[i] ?? 0;
    if (b <= a) continue;
    const widthMm = widthLeftMm(earlier, rules, (a + b) / 2);
    pieces.push({ fromMm: a, toMm: b, squares: bodySquares(b - a, depthMm, widthMm) });
  }
  const lengthMm = toMm - fromMm;
  const apart = 2 * stepSquares(depthMm, rules.widthMm);
  const merged = apart > 0 ? shaveEndsSquares(lengthMm, depthMm, rules.widthMm) / apart : 1;
  const hair = Math.min(1e-3, lengthMm / 4);
  for (const [placeMm, outsideMm, insideMm] of [
    [fromMm, fromMm - hair, fromMm + hair],
    [toMm, toMm + hair, toMm - hair],
  ] as const) {
    const squares = merged * stepChange(rules, earlier, side, depthMm, outsideMm, insideMm);
    pieces.push({ fromMm: placeMm, toMm: placeMm, squares });
  }
  return pieces;
}

/** Change of the step at one end of a shave when the inside becomes `depthMm` deeper. */
function stepChange(
  rules: CuttingRules,
  earlier: readonly Cut[],
  side: CutSide,
  depthMm: number,
  outsideMm: number,
  insideMm: number,
): number {
  const outside = shavedMm(earlier, side, outsideMm);
  const inside = shavedMm(earlier, side, insideMm);
  const step = (a: number, b: number): number => stepSquares(Math.abs(a - b), rules.widthMm - Math.min(a, b));
  return step(outside, inside + depthMm) - step(outside, inside);
}

/**
 * Share of a piece that the wiper finds between two places. Beside a cut the current is uneven; on the middle line that
 * dies away as exp(-2 pi x / W), the first even mode of the strip, so what was added spreads by that kernel and is gone
 * within a width.
 */
export function shareBetween(piece: AddedPiece, rules: CuttingRules, fromMm: number, toMm: number): number {
  const reachMm = rules.widthMm / (2 * Math.PI);
  return below(piece, toMm, reachMm) - below(piece, fromMm, reachMm);
}

/** Share of a piece below a place. */
function below(piece: AddedPiece, placeMm: number, reachMm: number): number {
  const lengthMm = piece.toMm - piece.fromMm;
  if (lengthMm < 1e-6) {
    const u = (placeMm - piece.fromMm) / reachMm;
    return u < 0 ? Math.exp(u) / 2 : 1 - Math.exp(-u) / 2;
  }
  return (summed(placeMm - piece.fromMm, reachMm) - summed(placeMm - piece.toMm, reachMm)) / lengthMm;
}

/** Integral of the kernel's running sum. */
function summed(mm: number, reachMm: number): number {
  return Math.max(mm, 0) + (reachMm / 2) * Math.exp(-Math.abs(mm) / reachMm);
}
