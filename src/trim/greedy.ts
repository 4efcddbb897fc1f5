/**
 * Cutting by hand without a plan: take the point that is furthest out, cut beside it until it is in, look again. Kept to
 * compare with. Every cut moves every other point, which is what makes it long.
 */
import type { TrimLimits } from './bands.ts';
import { runningSums, sumOf } from './programme.ts';

export interface GreedyCut {
  readonly cellIndex: number;
  readonly addedOhm: number;
}

/**
 * The next cut, or null when every point and the total lie inside.
 *
 * A point too quiet is raised by a cut in the cell below it: (S + r) / (T + r) = limit. One too loud is lowered by a cut
 * in the cell above: S / (T + r) = limit. The cut aims a little inside the limit.
 *
 * @param inside how far inside, as a share of the half band
 */
export function greedyCut(
  cellOhm: readonly number[],
  limits: TrimLimits,
  mostAddedOhm: readonly number[],
  inside = 0.3,
): GreedyCut | null {
  const totalOhm = sumOf(cellOhm);
  const below = runningSums(cellOhm);
  const out = worstTap(below, totalOhm, limits);
  if (out === null) {
    if (totalOhm >= limits.leastTotalOhm) return null;
    const cellIndex = roomiest(cellOhm, mostAddedOhm);
    return { cellIndex, addedOhm: Math.min(limits.leastTotalOhm - totalOhm, mostAddedOhm[cellIndex] ?? 0) };
  }
  const tap = limits.taps[out.point];
  const sumOhm = below[out.point] ?? 0;
  if (tap === undefined) return null;
  const cells = out.quiet ? cellsBelow(out.point) : cellsAbove(out.point, cellOhm.length);
  const cellIndex = cells.find((i) => (mostAddedOhm[i] ?? 0) > 1e-3 * (cellOhm[i] ?? 0));
  if (cellIndex === undefined) return null;
  const wanted = out.quiet
    ? raised(sumOhm, totalOhm, tap.lowRatio + inside * (tap.aimRatio - tap.lowRatio))
    : sumOhm / (tap.highRatio - inside * (tap.highRatio - tap.aimRatio)) - totalOhm;
  return { cellIndex, addedOhm: Math.min(wanted, mostAddedOhm[cellIndex] ?? 0) };
}

/** The tap that misses its limits most, relative to its ratio; null when none does. */
function worstTap(
  below: readonly number[],
  totalOhm: number,
  limits: TrimLimits,
): { readonly point: number; readonly quiet: boolean } | null {
  let worst = null;
  let most = 1e-9;
  for (const [point, tap] of limits.taps.entries()) {
    const ratio = (below[point] ?? 0) / totalOhm;
    const quiet = tap.lowRatio > 0 ? Math.log(tap.lowRatio / ratio) : 0;
    const loud = Math.log(ratio / tap.highRatio);
    if (Math.max(quiet, loud) <= most) continue;
    most = Math.max(quiet, loud);
    worst = { point, quiet: quiet > loud };
  }
  return worst;
}

/** What brings a point that is too quiet up to a ratio, cut below it. */
function raised(sumOhm: number, totalOhm: number, ratio: number): number {
  return (ratio * totalOhm - sumOhm) / (1 - ratio);
}

/** The nearest cell below a point first. */
function cellsBelow(point: number): number[] {
  return Array.from({ length: point + 1 }, (_, i) => point - i);
}

function cellsAbove(point: number, cells: number): number[] {
  return Array.from({ length: cells - point - 1 }, (_, i) => point + 1 + i);
}

function roomiest(cellOhm: readonly number[], mostAddedOhm: readonly number[]): number {
  return cellOhm.reduce((best, _, i) => ((mostAddedOhm[i] ?? 0) > (mostAddedOhm[best] ?? 0) ? i : best), 0);
}
