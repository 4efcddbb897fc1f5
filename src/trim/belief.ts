/**
 * What is believed of a tool's gain: achieved over predicted added resistance. A normal belief, updated by a scalar
 * Kalman filter (normal prior, normal observations): each cell cut in a pass observes the gain with
 * variance (u / predicted)^2 + (scatter gain)^2, u from both measurements and scatter from cut to cut.
 */
import type { ToolBelief } from './trim.ts';

/** How a tool cuts; each kind has its own prior. */
export type ToolKind = 'mill' | 'abrasive' | 'hand';

export interface CutOutcome {
  /** What the cuts of one cell were to add, ohm, gain 1. */
  readonly predictedOhm: number;
  /** What the cell gained between two measurements, ohm. */
  readonly achievedOhm: number;
  /** Standard uncertainty of what it gained, ohm. */
  readonly uOhm: number;
}

/** Estimates, no source: gain spread from tool to tool, scatter from cut to cut. */
const priors: Readonly<Record<ToolKind, ToolBelief>> = {
  mill: { mean: 1, sd: 0.15, cutSd: 0.1, cuts: 0 },
  abrasive: { mean: 1, sd: 0.2, cutSd: 0.12, cuts: 0 },
  hand: { mean: 1, sd: 0.3, cutSd: 0.2, cuts: 0 },
};

/** The gain may drift from one piece to the next: wear of the edge, warmth, the hand. Relative, per pass. Estimate. */
const driftSd = 0.005;
/** Another sheet has other ink and thickness; the gain learnt may be off by this much there. Estimate. */
const sheetSd = 0.05;
/** A cell whose observation lies further out than this many standard deviations counts less. */
const doubtful = 3;

export function priorBelief(kind: ToolKind): ToolBelief {
  return priors[kind];
}

/**
 * Belief after a pass. Outcomes without a predicted effect teach nothing. An outcome more than three standard deviations
 * from what was expected is taken with its variance enlarged until it is three: one misread cell must not turn the gain.
 */
export function updateBelief(belief: ToolBelief, outcomes: readonly CutOutcome[]): ToolBelief {
  const usable = outcomes.filter(
    ({ predictedOhm, achievedOhm, uOhm }) => predictedOhm > 0 && Number.isFinite(achievedOhm) && Number.isFinite(uOhm),
  );
  if (usable.length === 0) return belief;
  let mean = belief.mean;
  let variance = belief.sd ** 2 + driftSd ** 2;
  for (const { predictedOhm, achievedOhm, uOhm } of usable) {
    const seen = achievedOhm / predictedOhm;
    const own = (uOhm / predictedOhm) ** 2 + (belief.cutSd * mean) ** 2;
    const surprise = (seen - mean) ** 2;
    const noise = Math.max(own, surprise / doubtful ** 2 - variance);
    const weight = variance / (variance + noise);
    mean += weight * (seen - mean);
    variance *= 1 - weight;
  }
  return { mean, sd: Math.sqrt(variance), cutSd: belief.cutSd, cuts: belief.cuts + usable.length };
}

/** A new tool, blade or setting: nothing learnt holds. */
export function afterToolChange(kind: ToolKind): ToolBelief {
  return priorBelief(kind);
}

/** Another sheet: the mean is kept, the doubt grows, never beyond that of the prior. */
export function afterSheetChange(belief: ToolBelief, kind: ToolKind): ToolBelief {
  const sd = Math.min(priorBelief(kind).sd, Math.hypot(belief.sd, sheetSd));
  return { ...belief, sd };
}
