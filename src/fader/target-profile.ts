/**
 * The ratio the artwork aims at. The film is graded within each ink so that, printed without any spread, the fader
 * follows its law between the points straight in dB; below the lowest point the ratio runs straight to zero at the
 * closed conductor, above the highest straight to one at the open conductor. Real artwork grades in small steps;
 * the model takes the limit of many steps.
 */
export interface TargetPoint {
  /** mm from the closed stop. */
  readonly travelMm: number;
  /** dB, >= 0. */
  readonly lossDb: number;
}

/** `stepped` = one contact per point, constant between the middles of neighbouring points. */
export type TargetInterpolation = 'dbLinear' | 'stepped';

export interface TargetProfile {
  readonly closedEdgeMm: number;
  readonly openEdgeMm: number;
  /** Places where the slope changes, rising; cells are bounded there. */
  readonly cornerMm: readonly number[];
  /** Ratio aimed at; constant below the closed edge, 1 at and above the open edge. */
  ratioAt(travelMm: number): number;
}

/** Width of the gap between two contacts of a stepped fader, mm. */
const contactGapMm = 0.1;

/**
 * `closedRatio` is the share of the track that lies below the film (end contact and common lead) and for which the
 * artwork allows, so that the lowest points come out right. At most half the ratio of the lowest point is taken.
 * @throws RangeError when fewer than two points lie on the film or the loss does not fall with travel.
 */
export function targetProfile(
  points: readonly TargetPoint[],
  closedEdgeMm: number,
  openEdgeMm: number,
  interpolation: TargetInterpolation = 'dbLinear',
  closedRatio = 0,
): TargetProfile {
  const onFilm = points
    .filter((p) => p.travelMm > closedEdgeMm && p.travelMm < openEdgeMm)
    .map((p) => ({ travelMm: p.travelMm, ratio: 10 ** (-p.lossDb / 20) }));
  if (onFilm.length < 2) throw new RangeError('a law needs at least two points between the two conductors');
  onFilm.forEach((point, i) => {
    const before = onFilm[i - 1];
    if (before && !(point.travelMm > before.travelMm && point.ratio >= before.ratio))
      throw new RangeError(`law points must rise in travel and fall in loss; see the point at ${point.travelMm} mm`);
  });
  const atClosedEdge = Math.min(closedRatio, (onFilm[0]?.ratio ?? 0) / 2);
  const knots = [{ travelMm: closedEdgeMm, ratio: atClosedEdge }, ...onFilm, { travelMm: openEdgeMm, ratio: 1 }];
  return interpolation === 'stepped' ? steppedProfile(knots) : gradedProfile(knots);
}

interface Knot {
  readonly travelMm: number;
  readonly ratio: number;
}

function segmentOf(knots: readonly Knot[], travelMm: number): [Knot, Knot] {
  let low = 0;
  let high = knots.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((knots[middle]?.travelMm ?? 0) <= travelMm) low = middle;
    else high = middle;
  }
  const a = knots[low];
  const b = knots[high];
  if (!a || !b) throw new RangeError('a profile needs two knots');
  return [a, b];
}

function edges(knots: readonly Knot[]): { closedEdgeMm: number; openEdgeMm: number; closedRatio: number } {
  const first = knots[0];
  return {
    closedEdgeMm: first?.travelMm ?? 0,
    openEdgeMm: knots.at(-1)?.travelMm ?? 0,
    closedRatio: first?.ratio ?? 0,
  };
}

function gradedProfile(knots: readonly Knot[]): TargetProfile {
  const { closedEdgeMm, openEdgeMm, closedRatio } = edges(knots);
  return {
    closedEdgeMm,
    openEdgeMm,
    cornerMm: knots.map((k) => k.travelMm),
    ratioAt(travelMm) {
      if (travelMm <= closedEdgeMm) return closedRatio;
      if (travelMm >= openEdgeMm) return 1;
      const [a, b] = segmentOf(knots, travelMm);
      const share = (travelMm - a.travelMm) / (b.travelMm - a.travelMm);
      if (a.travelMm === closedEdgeMm || b.travelMm === openEdgeMm) return a.ratio + share * (b.ratio - a.ratio);
      return a.ratio * (b.ratio / a.ratio) ** share;
    },
  };
}

function steppedProfile(knots: readonly Knot[]): TargetProfile {
  const ramps: Knot[] = [];
  knots.forEach((knot, i) => {
    const next = knots[i + 1];
    if (!next) return;
    const middle = (knot.travelMm + next.travelMm) / 2;
    ramps.push({ travelMm: middle - contactGapMm / 2, ratio: knot.ratio });
    ramps.push({ travelMm: middle + contactGapMm / 2, ratio: next.ratio });
  });
  const { closedEdgeMm, openEdgeMm, closedRatio } = edges(ramps);
  return {
    closedEdgeMm,
    openEdgeMm,
    cornerMm: ramps.map((k) => k.travelMm),
    ratioAt(travelMm) {
      if (travelMm <= closedEdgeMm) return closedRatio;
      if (travelMm >= openEdgeMm) return 1;
      const [a, b] = segmentOf(ramps, travelMm);
      return a.ratio + ((travelMm - a.travelMm) / (b.travelMm - a.travelMm)) * (b.ratio - a.ratio);
    },
  };
}
