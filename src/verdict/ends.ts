/**
 * Where a fader's output leaves its end conductors, from a slow glide over an end. On the conductor the ratio stands
 * still; beyond its edge it changes nearly straight over the first millimetres. The edge is where that straight line
 * meets the level of the conductor.
 */

/** One sample of a glide. */
export interface EndSample {
  readonly positionUm: number;
  readonly wiperCounts: number;
}

export type EndFinding =
  | { readonly positionUm: number; readonly reason: null }
  | { readonly positionUm: null; readonly reason: string };

/** Fewest samples that make a level or a line. */
const leastOnLevel = 4;
const leastOnLine = 4;
/** Standard deviations a sample must stand off the level to count as having left it. */
const clearOfNoise = 6;

/**
 * @param samples in the order they came; gaps may be anywhere, positions may repeat
 * @param end which end the conductor lies at
 * @returns position in the rig's scale, um, or why there is none
 */
export function findEnd(samples: readonly EndSample[], end: 'closed' | 'open'): EndFinding {
  const nothing = (reason: string): EndFinding => ({ positionUm: null, reason });
  // Outwards from the conductor, whichever way the glide went.
  const sign = end === 'closed' ? 1 : -1;
  const ordered = samples
    .filter((s) => Number.isFinite(s.positionUm) && Number.isFinite(s.wiperCounts))
    .map((s) => ({ x: sign * s.positionUm, y: sign * s.wiperCounts }))
    .sort((a, b) => a.x - b.x);
  const turned = ordered.map(({ x, y }) => ({ x, y: -y }));
  if (ordered.length < leastOnLevel + leastOnLine) return nothing('too few samples over the end');

  // A fader with swapped ends falls where others rise; its edges lie where they lie.
  const left = leavesLevel(ordered) ?? leavesLevel(turned);
  if (left === null) return nothing('the output does not change over the end: no edge, or the wiper does not reach it');
  const { level, from, spots } = left;
  if (from < leastOnLevel) return nothing('the output changes from the very stop: no conductor seen');
  const rise = spots.slice(from);
  const farthest = median(rise.slice(-3).map((s) => s.y)) - level;
  // The middle part of the rise: clear of the fingers that bridge the edge, near enough to be straight.
  const clear = rise.filter((s) => s.y - level >= 0.1 * farthest);
  const middle = clear.filter((s) => s.y - level <= 0.8 * farthest);
  // Gaps may leave too little of it; then the far part, a little less straight, is better than no end at all.
  const straight = middle.length < leastOnLine ? clear : middle;
  if (straight.length < leastOnLine) return nothing('too few samples beyond the edge');
  const line = medianLine(straight);
  if (!(line.slope > 0)) return nothing('the output falls where it should rise');
  const x = line.x - (line.y - level) / line.slope;
  const first = ordered[0]?.x ?? 0;
  const last = ordered.at(-1)?.x ?? 0;
  if (!(x > first && x < last)) return nothing('the edge lies outside the stretch looked at');
  return { positionUm: sign * x, reason: null };
}

interface Spot {
  readonly x: number;
  readonly y: number;
}

/** Grows the level from the conductor outwards until the samples leave it for good. */
function leavesLevel(
  ordered: readonly Spot[],
): { readonly level: number; readonly from: number; readonly spots: readonly Spot[] } | null {
  for (let from = leastOnLevel; from <= ordered.length - leastOnLine; from += 1) {
    const on = ordered.slice(0, from).map((s) => s.y);
    const level = median(on);
    const spread = 1.4826 * median(on.map((y) => Math.abs(y - level)));
    const threshold = Math.max(clearOfNoise * spread, 2);
    const beyond = ordered.slice(from);
    // A lone outlier must not count, nor may a later one deny the edge: three in a row, and nearly all that follow.
    const clear = beyond.filter((s) => s.y - level > threshold).length;
    if (beyond.slice(0, 3).every((s) => s.y - level > threshold) && clear >= 0.9 * beyond.length)
      return { level, from, spots: ordered };
  }
  return null;
}

/** Median of the slopes of all pairs (Theil 1950, Sen 1968), through the medians. */
function medianLine(spots: readonly Spot[]): { readonly x: number; readonly y: number; readonly slope: number } {
  const slopes: number[] = [];
  spots.forEach((a, i) => {
    for (const b of spots.slice(i + 1)) if (b.x !== a.x) slopes.push((b.y - a.y) / (b.x - a.x));
  });
  const slope = slopes.length === 0 ? Number.NaN : median(slopes);
  const x = median(spots.map((s) => s.x));
  return { x, y: median(spots.map((s) => s.y - slope * (s.x - x))), slope };
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const high = sorted[middle] ?? Number.NaN;
  return sorted.length % 2 === 1 ? high : ((sorted[middle - 1] ?? Number.NaN) + high) / 2;
}
