import type { CuttingRules } from './trim.ts';

/** Film and tool common to the printed parts. Lengths in mm. */
const printed = {
  widthMm: 4,
  swathMm: 1.5,
  // Estimate: keeps dust and blade off the conductors; the film there decides the closed and the open loss.
  endMarginMm: 1,
  closedEdgeMm: 0.8,
  depthStepMm: 0.02,
  placeSdMm: 0.2,
  // Common practice, no source: a cell that needs more than half its resistance again is not trimmed.
  mostGrowth: 0.5,
} as const;

const partRules: Readonly<Record<string, CuttingRules>> = {
  'PF-104': { ...printed, openEdgeMm: 102.9 },
  'GF-60': { ...printed, openEdgeMm: 58.9 },
};

/** What may be cut on a part; null = nothing is known of it, or it has no printed film to cut. */
export function cuttingRulesFor(part: string): CuttingRules | null {
  return Object.hasOwn(partRules, part) ? (partRules[part] ?? null) : null;
}
