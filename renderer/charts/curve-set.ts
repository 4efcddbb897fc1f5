/**
 * Many measured curves made ready to be drawn and pointed at: flat typed arrays, gaps as NaN, extent known beforehand.
 * Pure; 500 curves are prepared once and drawn in one go.
 */
import type { VerdictWord } from '../../src/archive/records.ts';

export interface CurveSource {
  readonly runId: string;
  readonly serial: string;
  readonly verdict: VerdictWord;
  readonly points: readonly { readonly travelMm: number; readonly deviationDb: number | null }[];
}

export interface CurveSet {
  readonly count: number;
  readonly runIds: readonly string[];
  readonly serials: readonly string[];
  readonly verdicts: readonly VerdictWord[];
  /** Curve c has its places from `starts[c]` up to, not including, `starts[c + 1]`. */
  readonly starts: Uint32Array;
  readonly travelMm: Float64Array;
  /** NaN = a gap. */
  readonly deviationDb: Float64Array;
}

/** @param sources points in rising travel, as a run keeps them */
export function curveSet(sources: readonly CurveSource[]): CurveSet {
  const size = sources.reduce((sum, source) => sum + source.points.length, 0);
  const starts = new Uint32Array(sources.length + 1);
  const travelMm = new Float64Array(size);
  const deviationDb = new Float64Array(size);
  let at = 0;
  sources.forEach((source, index) => {
    for (const point of source.points) {
      travelMm[at] = point.travelMm;
      deviationDb[at] = point.deviationDb ?? Number.NaN;
      at += 1;
    }
    starts[index + 1] = at;
  });
  return {
    count: sources.length,
    runIds: sources.map((source) => source.runId),
    serials: sources.map((source) => source.serial),
    verdicts: sources.map((source) => source.verdict),
    starts,
    travelMm,
    deviationDb,
  };
}

/** A straight axis: value = `valueAt0` + px * `perPx`, turned round. */
export interface AxisPx {
  readonly pxOf: (value: number) => number;
}

/**
 * The curve nearest to a place on the screen, or null when none is within reach. A gap has no line to point at, a lone
 * reading between two gaps is a place.
 */
export function nearestCurve(
  set: CurveSet,
  place: { readonly x: number; readonly y: number },
  axes: { readonly travel: AxisPx; readonly deviation: AxisPx },
  reachPx = 12,
): number | null {
  let nearest: number | null = null;
  let nearestPx = reachPx;
  for (let curve = 0; curve < set.count; curve += 1) {
    const end = set.starts[curve + 1] ?? 0;
    let beforeX = Number.NaN;
    let beforeY = Number.NaN;
    for (let at = set.starts[curve] ?? 0; at < end; at += 1) {
      const x = axes.travel.pxOf(set.travelMm[at] ?? Number.NaN);
      const y = axes.deviation.pxOf(set.deviationDb[at] ?? Number.NaN);
      if (!Number.isNaN(y)) {
        const px = Number.isNaN(beforeY)
          ? Math.hypot(x - place.x, y - place.y)
          : segmentDistance(place, beforeX, beforeY, x, y);
        if (px < nearestPx) {
          nearestPx = px;
          nearest = curve;
        }
      }
      beforeX = x;
      beforeY = y;
    }
  }
  return nearest;
}

function segmentDistance(place: { x: number; y: number }, x1: number, y1: number, x2: number, y2: number): number {
  const [dx, dy] = [x2 - x1, y2 - y1];
  const length = dx * dx + dy * dy;
  const along = length === 0 ? 0 : Math.min(1, Math.max(0, ((place.x - x1) * dx + (place.y - y1) * dy) / length));
  return Math.hypot(place.x - x1 - along * dx, place.y - y1 - along * dy);
}
