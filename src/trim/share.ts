/**
 * How much of the plan a pass may take. Taking too little costs another pass; taking too much may leave a stretch of
 * track so resistive that the rest can no longer be raised to match it.
 */
import { steepness } from './as-cut.ts';
import { upperTail } from './normal.ts';
import type { TrimProblem } from './programme.ts';
import { reachOf } from './reach.ts';
import type { ToolBelief, TrackProfile } from './trim.ts';

/** A pass is refused when its chance of losing the piece exceeds this. */
export const defaultRiskLimit = 0.005;
/** A share below this is not worth a pass. */
const leastShare = 0.2;
/** Standard deviations beyond which a tail is nothing (1e-9). */
const noRisk = 6;

/**
 * Chance that adding `expectedOhm` (mean gain included) makes the piece impossible to bring in.
 *
 * A stretch of cells between taps j and p is lost when its resistance exceeds (high_p - low_j) times the highest
 * total that can still be reached, which is set by the law and by how far the other cells may be raised and does not
 * depend on the cut (reach.ts). The resistance after the cut is normal: variance = (gain sd, common)^2 + sum (scatter)^2 +
 * (measurement)^2. Of the stretches that hold the same cuts the worst counts, for they fail together; over the others the
 * chances are summed: an upper bound (Boole), close when one stretch decides, several times too high when many are near.
 * What is at risk before the cut already is not counted. Not covered: cuts outside the believed spread (a slip of the
 * hand, a wrong cell), tails heavier than normal.
 */
export function overCutRisk(
  problem: TrimProblem,
  profile: TrackProfile,
  belief: ToolBelief,
  expectedOhm: readonly number[],
): number {
  const { cellOhm, limits } = problem;
  const taps = limits.taps.length;
  const highestOhm = 1 / reachOf(problem).leastPerOhm;
  const gainSd = belief.mean > 0 ? belief.sd / belief.mean : 1;
  const uOf = (node: number): number => (node < 0 || node >= taps ? 0 : (profile.taps[node]?.uRatio ?? 0));
  const worst = new Map<number, number>();
  for (let from = -1; from < taps; from += 1) {
    const low = from < 0 ? 0 : (limits.taps[from]?.lowRatio ?? 0);
    let now = 0;
    let added = 0;
    let common = 0;
    let scatter = 0;
    let firstCut = -1;
    let lastCut = -1;
    for (let to = from + 1; to <= taps; to += 1) {
      const more = expectedOhm[to] ?? 0;
      now += cellOhm[to] ?? 0;
      added += more;
      const spread = more * steepness(cellOhm[to] ?? 0, more);
      common += spread * gainSd;
      scatter += (spread * belief.cutSd) ** 2;
      if (more > 0) {
        if (firstCut < 0) firstCut = to;
        lastCut = to;
      }
      if (added <= 0) continue;
      const high = to === taps ? 1 : (limits.taps[to]?.highRatio ?? 1);
      const room = (high - low) * highestOhm - now;
      const measured = profile.totalOhm * Math.hypot(uOf(from), uOf(to));
      const after = Math.sqrt(common ** 2 + scatter + measured ** 2);
      if (room - added > noRisk * after) continue;
      const key = firstCut * (taps + 1) + lastCut;
      const before = room > noRisk * measured ? 0 : measured > 0 ? upperTail(room / measured) : 1;
      worst.set(key, Math.max(worst.get(key) ?? 0, upperTail((room - added) / after) - before));
    }
  }
  return Math.min(
    1,
    [...worst.values()].reduce((sum, chance) => sum + chance, 0),
  );
}

export interface ShareFinding {
  /** 0..1; 0 = no pass can be taken. */
  readonly share: number;
  readonly risk: number;
}

/** The largest share of the plan whose risk stays within the limit; 0 when even a small pass exceeds it. */
export function safeShare(
  problem: TrimProblem,
  profile: TrackProfile,
  belief: ToolBelief,
  addedOhm: readonly number[],
  riskLimit: number = defaultRiskLimit,
): ShareFinding {
  const riskAt = (share: number): number =>
    overCutRisk(
      problem,
      profile,
      belief,
      addedOhm.map((ohm) => ohm * share),
    );
  const whole = riskAt(1);
  if (whole <= riskLimit) return { share: 1, risk: whole };
  let safe = 0;
  let unsafe = 1;
  for (let halvings = 0; halvings < 8; halvings += 1) {
    const middle = (safe + unsafe) / 2;
    if (riskAt(middle) <= riskLimit) safe = middle;
    else unsafe = middle;
  }
  return safe < leastShare ? { share: 0, risk: riskAt(leastShare) } : { share: safe, risk: riskAt(safe) };
}
