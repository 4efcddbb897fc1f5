import type { Specimen } from './specimen.ts';
import type { Track } from './track.ts';

/** The two edges of the film beside the swath. */
export type FilmEdge = 'left' | 'right';

/** A cut as it really came out. Depth counts from the edge as it stood there; places in mm from the closed stop. */
export type FilmCut =
  | {
      readonly kind: 'shave';
      readonly side: FilmEdge;
      readonly fromMm: number;
      readonly toMm: number;
      readonly depthMm: number;
    }
  | { readonly kind: 'plunge'; readonly side: FilmEdge; readonly atMm: number; readonly depthMm: number };

/** However deep a tool goes, so much of the width is left: a severed track would be another fault. */
const leastWidthShare = 0.05;

/**
 * The track after cuts. Truth of the model, in three steps that owe nothing to what plans cuts:
 *
 * 1. The current cannot turn at once, so film beside a deep place carries less too: each edge is widened into a cone
 *    whose foot is about twice the depth for a shave and one and a half times for a thin cut. What the cuts of both edges
 *    leave between them is the local width, and the film's resistance grows as 1 / width. Cones of the two edges do not
 *    narrow each other: two sides that turn the current turn it in halves of their own.
 * 2. What the cones add is felt on both sides of the corner that casts them, so it is put there.
 * 3. What the wiper sees in the middle of the track is evened out along it: the disturbance there dies away as
 *    exp(-2 pi x / width).
 *
 * The feet of the cones are fitted to a two-dimensional field solution for cuts up to 0.4 of the width; a single cut
 * comes out within 3 % of it, cuts of both edges at one place within 4 % together (7 % when shorter than half a width),
 * the second of them within 10 % where it is not small beside the first (tests).
 *
 * @param track as printed, without any of these cuts
 */
export function cutTrack(track: Track, cuts: readonly FilmCut[], widthMm: number): Track {
  if (cuts.length === 0) return track;
  const { boundaryMm } = track;
  const left = edgeOf(boundaryMm, onEdge(cuts, 'left'), widthMm);
  const right = edgeOf(boundaryMm, onEdge(cuts, 'right'), widthMm);
  const growth = new Float64Array(boundaryMm.length - 1);
  const growthFor = (goneMm: number): number => {
    const mm = Math.min(goneMm, (1 - leastWidthShare) * widthMm);
    return mm / (widthMm - mm);
  };
  const lengthMm = (i: number): number => (boundaryMm[i + 1] ?? 0) - (boundaryMm[i] ?? 0);
  for (let i = 0; i < growth.length; i++) {
    const ownLeft = left.ownMm[i] ?? 0;
    const ownRight = right.ownMm[i] ?? 0;
    const coneLeft = Math.max(0, (left.withConesMm[i] ?? 0) - ownLeft);
    const coneRight = Math.max(0, (right.withConesMm[i] ?? 0) - ownRight);
    const own = growthFor(ownLeft + ownRight);
    growth[i] = (growth[i] ?? 0) + own;
    for (const [edge, cone] of [
      [left, coneLeft],
      [right, coneRight],
    ] as const) {
      if (cone === 0) continue;
      const corner = cellAt(boundaryMm, edge.cornerMm[i] ?? 0);
      const ohmMm = (growthFor(ownLeft + ownRight + cone) - own) * lengthMm(i);
      growth[corner] = (growth[corner] ?? 0) + ohmMm / lengthMm(corner);
    }
  }
  return grown(track, evenedOut(growth, boundaryMm, widthMm / (2 * Math.PI)));
}

/** The fader with cuts made in its film. `specimen` without any of these cuts. */
export function cutSpecimen(specimen: Specimen, cuts: readonly FilmCut[], widthMm: number): Specimen {
  return cuts.length === 0 ? specimen : { ...specimen, track: cutTrack(specimen.track, cuts, widthMm) };
}

function onEdge(cuts: readonly FilmCut[], side: FilmEdge): FilmCut[] {
  return cuts.filter((cut) => cut.side === side);
}

interface Stretch {
  readonly fromMm: number;
  readonly toMm: number;
  readonly depthMm: number;
  /** Length of the cone's foot beyond either end. */
  readonly footMm: number;
}

/** One edge of the film, cell by cell. */
interface Edge {
  /** Depth taken off, and the same with the cones, mm. */
  readonly ownMm: Float64Array;
  readonly withConesMm: Float64Array;
  /** Corner whose cone reaches deepest here. */
  readonly cornerMm: Float64Array;
}

function edgeOf(boundaryMm: Float64Array, cuts: readonly FilmCut[], widthMm: number): Edge {
  const cells = boundaryMm.length - 1;
  const edge: Edge = {
    ownMm: new Float64Array(cells),
    withConesMm: new Float64Array(cells),
    cornerMm: new Float64Array(cells),
  };
  for (const { fromMm, toMm, depthMm, footMm } of stretchesOf(cuts, widthMm)) {
    const highMm = toMm + footMm;
    for (let i = cellAt(boundaryMm, fromMm - footMm); i < cells; i++) {
      const a = boundaryMm[i] ?? 0;
      const b = boundaryMm[i + 1] ?? 0;
      if (a >= highMm) break;
      // A cell that an end runs through counts by its parts; stretches do not overlap, so parts of the same cell add up.
      const inside = Math.max(0, Math.min(b, toMm) - Math.max(a, fromMm)) * depthMm;
      const below = coneMm2(fromMm - a, footMm, depthMm) - coneMm2(fromMm - b, footMm, depthMm);
      const above = coneMm2(b - toMm, footMm, depthMm) - coneMm2(a - toMm, footMm, depthMm);
      const reachedMm = (inside + below + above) / (b - a);
      edge.ownMm[i] = (edge.ownMm[i] ?? 0) + inside / (b - a);
      if (reachedMm <= (edge.withConesMm[i] ?? 0)) continue;
      edge.withConesMm[i] = reachedMm;
      edge.cornerMm[i] = (a + b) / 2 < (fromMm + toMm) / 2 ? fromMm : toMm;
    }
  }
  return edge;
}

/** Area of a cone's side from its top out to a distance, mm2. */
function coneMm2(outMm: number, footMm: number, depthMm: number): number {
  const mm = Math.min(Math.max(outMm, 0), footMm);
  return depthMm * (mm - (mm * mm) / (2 * footMm));
}

/** Stretches of even depth: shaves add up where they overlap; a thin cut goes down from wherever the shaves left the edge. */
function stretchesOf(cuts: readonly FilmCut[], widthMm: number): Stretch[] {
  const shaves = cuts.filter((cut) => cut.kind === 'shave');
  const places = [...new Set(shaves.flatMap((cut) => [cut.fromMm, cut.toMm]))].sort((a, b) => a - b);
  const shavedAt = (mm: number): number =>
    shaves.reduce((sum, cut) => (mm >= cut.fromMm && mm <= cut.toMm ? sum + cut.depthMm : sum), 0);
  const stretches: Stretch[] = [];
  for (let i = 1; i < places.length; i++) {
    const fromMm = places[i - 1] ?? 0;
    const toMm = places[i] ?? 0;
    const depthMm = shavedAt((fromMm + toMm) / 2);
    if (depthMm > 0) stretches.push({ fromMm, toMm, depthMm, footMm: shaveFoot(depthMm / widthMm) * depthMm });
  }
  for (const cut of cuts) {
    if (cut.kind !== 'plunge' || !(cut.depthMm > 0)) continue;
    const depthMm = shavedAt(cut.atMm) + cut.depthMm;
    const footMm = thinFoot(depthMm / widthMm) * depthMm;
    stretches.push({ fromMm: cut.atMm, toMm: cut.atMm, depthMm, footMm });
  }
  return stretches;
}

// Fitted to a field solution, relative depth 0.05..0.4.
const shaveFoot = (share: number): number => Math.max(1, 0.95 - 0.575 * Math.log(share));
const thinFoot = (share: number): number => 1.57 - 0.93 * share;

/** Cell that holds a place; the first or last one for a place outside. */
function cellAt(boundaryMm: Float64Array, mm: number): number {
  let low = 0;
  let high = boundaryMm.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((boundaryMm[middle] ?? 0) <= mm) low = middle;
    else high = middle;
  }
  return low;
}

/** Convolution with exp(-|x| / reach) / (2 reach); the conductors at the ends mirror it, so the integral over length is kept. */
function evenedOut(growth: Float64Array, boundaryMm: Float64Array, reachMm: number): Float64Array {
  const seen = new Float64Array(growth.length);
  // What flows in from one side: the amount piled up so far, dying away cell by cell.
  const sweep = (first: number, last: number, step: 1 | -1, into: Float64Array, mirrored: number): number => {
    let tail = mirrored;
    for (let i = first; i !== last; i += step) {
      const lengthMm = (boundaryMm[i + 1] ?? 0) - (boundaryMm[i] ?? 0);
      const keep = Math.exp(-lengthMm / reachMm);
      const own = growth[i] ?? 0;
      // Exact mean over the cell of half the kernel: own part and what the tail leaves here.
      const ratio = reachMm / lengthMm;
      into[i] = (into[i] ?? 0) + 0.5 * (own * (1 - ratio * (1 - keep)) + tail * ratio * (1 - keep));
      tail = tail * keep + own * (1 - keep);
    }
    return tail;
  };
  const beyondClosed = sweep(growth.length - 1, -1, -1, new Float64Array(growth.length), 0);
  const beyondOpen = sweep(0, growth.length, 1, seen, beyondClosed);
  sweep(growth.length - 1, -1, -1, seen, beyondOpen);
  return seen;
}

function grown(track: Track, growth: Float64Array): Track {
  const { boundaryMm, cumulativeOhm } = track;
  const cut = new Float64Array(cumulativeOhm.length);
  const jointOhm: [number, number] = [0, 0];
  let sum = 0;
  for (let i = 1; i < cut.length; i++) {
    const ohm = (cumulativeOhm[i] ?? 0) - (cumulativeOhm[i - 1] ?? 0);
    sum += ohm * (1 + (growth[i - 1] ?? 0));
    cut[i] = sum;
    const toMm = boundaryMm[i] ?? 0;
    if (toMm <= track.jointMm[0]) jointOhm[0] = sum;
    if (toMm <= track.jointMm[1]) jointOhm[1] = sum;
  }
  return { ...track, cumulativeOhm: cut, jointOhm };
}
