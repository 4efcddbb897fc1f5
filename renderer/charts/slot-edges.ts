/** Limits of deviation along the travel, and how far a deviation axis reaches. Pure. */
import { bandAt } from '../../src/law/band.ts';
import type { Law } from '../../src/law/build.ts';
import type { SlotEdge } from './slot.ts';

/** Half of what the axis reaches must end on one of these, dB. */
const reachesDb = [1, 2, 4, 6, 10] as const;

/**
 * 4/3 of the widest limit, rounded up to 1, 2, 4, 6 or 10 dB; wider limits run out of the picture. Places limited on one
 * side only ("at or below", near closed) are left out as long as there are others, or they would squeeze all of those.
 */
export function deviationReachDb(edges: readonly SlotEdge[]): number {
  const both = edges.filter((edge) => edge.upperDb !== null);
  const counted = both.length > 0 ? both : edges;
  const widest = counted.reduce((most, { lowerDb, upperDb }) => Math.max(most, -lowerDb, upperDb ?? 0), 0);
  return reachesDb.find((reach) => reach >= (widest * 4) / 3 - 1e-9) ?? 10;
}

export interface KnownUncertainty {
  readonly travelMm: number;
  readonly uncertaintyDb: number | null;
}

/**
 * The law's band from its first point to its last, fine enough to follow travel tolerances, with every point itself.
 * U between two measured points runs straight; without U at both, none is known.
 */
export function slotEdges(law: Law, uncertainty: readonly KnownUncertainty[] = [], steps = 160): readonly SlotEdge[] {
  const first = law.points[0]?.travelMm ?? 0;
  const last = law.points.at(-1)?.travelMm ?? 0;
  const travels = new Set(law.points.map((point) => point.travelMm));
  for (let step = 1; step < steps; step += 1) travels.add(first + ((last - first) * step) / steps);
  return [...travels]
    .toSorted((a, b) => a - b)
    .flatMap((travelMm) => {
      const band = bandAt(law, travelMm);
      if (band === null) return [];
      const { lowerDb, upperDb } = band;
      return [{ travelMm, lowerDb, upperDb, uncertaintyDb: uncertaintyAt(uncertainty, travelMm) }];
    });
}

function uncertaintyAt(known: readonly KnownUncertainty[], travelMm: number): number | null {
  const after = known.findIndex((entry) => entry.travelMm >= travelMm - 1e-9);
  const high = known[after];
  if (high === undefined) return null;
  if (Math.abs(high.travelMm - travelMm) < 1e-9) return high.uncertaintyDb;
  const low = known[after - 1];
  if (low === undefined || low.uncertaintyDb === null || high.uncertaintyDb === null) return null;
  const share = (travelMm - low.travelMm) / (high.travelMm - low.travelMm);
  return low.uncertaintyDb + (high.uncertaintyDb - low.uncertaintyDb) * share;
}
