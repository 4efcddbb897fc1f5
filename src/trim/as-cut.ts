/**
 * Cuts as they are believed to come out. A tool's gain multiplies the depth it is set to, so the planner works in depths
 * that are really cut and sets the tool to depth / gain; the rules of what may be cut hold for what is really cut.
 */
import type { CutOutcome } from './belief.ts';
import { predictCuts } from './cuts-of-pass.ts';
import { mostAddedOhm } from './effect.ts';
import type { Cut, CuttingRules, ToolBelief, TrackProfile } from './trim.ts';

/** A tool that cuts less than this of what it is set to is not to be planned with. */
const leastGain = 0.3;

function gainOf(belief: ToolBelief): number {
  return Math.max(leastGain, belief.mean);
}

/** Cuts as asked, with the depth they are believed to have. */
export function asCut(asked: readonly Cut[], belief: ToolBelief): readonly Cut[] {
  const gain = gainOf(belief);
  return asked.map((cut) => ({ ...cut, depthMm: cut.depthMm * gain }));
}

/** A cut cell that grew more or less than this much of what its cuts say was cut by something else. */
const [leastSeen, mostSeen] = [0.2, 2];
/** The effect is not quite straight in the depth: the second round is within half a percent. */
const seenRounds = 2;
/** Share of the width that is left at least. */
const leastFilmShare = 0.05;

/**
 * Cuts as asked, with the depth that the growth of their cells shows. How deep a tool really went into a cell decides what
 * the next cut there does, and two measurements tell it better than the gain of the tool: the depth is the believed one
 * moved so far that its effect is w times the way from the expected to the measured growth, w = scatter^2 / (scatter^2 + u^2):
 * a normal prior and a normal observation.
 *
 * @param profile the track as measured with all these cuts made
 * @param uncutOhm cells as measured before the first cut; null = not known, then the gain alone counts
 */
export function asSeen(
  asked: readonly Cut[],
  belief: ToolBelief,
  profile: TrackProfile,
  rules: CuttingRules,
  uncutOhm: readonly number[] | null,
): readonly Cut[] {
  const believed = withFilmLeft(asCut(asked, belief), rules);
  if (uncutOhm === null || believed.length === 0) return believed;
  const uncut = beforeFirstCut(profile, uncutOhm);
  const scatter = Math.hypot(belief.cutSd, belief.sd / gainOf(belief));
  const scaled = (factors: readonly number[]): readonly Cut[] =>
    withFilmLeft(
      believed.map((cut) => ({ ...cut, depthMm: cut.depthMm * (factors[cut.cellIndex] ?? 1) })),
      rules,
    );
  const expected = predictCuts(believed, uncut, rules, []);
  // What each cell is taken to have gained: the measurement, drawn towards what was believed.
  const gained = profile.cells.map((cell, i) => {
    const added = expected[i] ?? 0;
    const u = (Math.SQRT2 * cell.uOhm) / added / steepness(uncutOhm[i] ?? 0, added);
    const weight = scatter ** 2 / (scatter ** 2 + u ** 2);
    return added + weight * (cell.ohm - (uncutOhm[i] ?? 0) - added);
  });
  let factors = profile.cells.map(() => 1);
  for (let round = 0; round < seenRounds; round += 1) {
    const added = predictCuts(scaled(factors), uncut, rules, []);
    factors = factors.map((factor, i) => {
      const now = added[i] ?? 0;
      if (!(now > 0) || !((uncutOhm[i] ?? 0) > 0)) return factor;
      const next = factor * (1 + ((gained[i] ?? now) / now - 1) / steepness(uncutOhm[i] ?? 0, now));
      return Math.min(mostSeen, Math.max(leastSeen, next));
    });
  }
  return scaled(factors);
}

/** However deep the cuts of one side are believed to be, film is left: the piece was measured after them. */
function withFilmLeft(cuts: readonly Cut[], rules: CuttingRules): readonly Cut[] {
  const mostMm = (rules.widthMm / 2) * (1 - leastFilmShare);
  const sums = new Map<string, number>();
  const key = ({ cellIndex, side }: Cut): string => `${cellIndex} ${side}`;
  for (const cut of cuts) sums.set(key(cut), (sums.get(key(cut)) ?? 0) + cut.depthMm);
  return cuts.map((cut) => {
    const sum = sums.get(key(cut)) ?? 0;
    return sum > mostMm ? { ...cut, depthMm: (cut.depthMm * mostMm) / sum } : cut;
  });
}

/** The track before its first cut; its end contacts were what they are. */
function beforeFirstCut(profile: TrackProfile, uncutOhm: readonly number[]): TrackProfile {
  const totalOhm = uncutOhm.reduce((sum, ohm) => sum + ohm, 0);
  const { closedRatio, openRatio } = profile;
  const scale = profile.totalOhm / totalOhm;
  return {
    ...profile,
    totalOhm,
    cells: profile.cells.map((cell, i) => ({ ...cell, ohm: uncutOhm[i] ?? cell.ohm })),
    ...(closedRatio === undefined ? {} : { closedRatio: closedRatio * scale }),
    ...(openRatio === undefined ? {} : { openRatio: 1 - (1 - openRatio) * scale }),
  };
}

/** The inverse of `asCut`, in whole steps of the tool. */
export function asAsked(cuts: readonly Cut[], belief: ToolBelief, rules: CuttingRules): readonly Cut[] {
  const gain = gainOf(belief);
  const { depthStepMm } = rules;
  // Whole steps without the dust of binary fractions, for a person reads them.
  return cuts.map((cut) => ({
    ...cut,
    depthMm: Number((Math.round(cut.depthMm / gain / depthStepMm) * depthStepMm).toFixed(6)),
  }));
}

/** The room that effect.ts leaves unused in case a tool cuts deeper covers so much. */
const coveredExcess = 0.25;

/**
 * Rules for depths really cut: the tool's step as it comes out, and the swath kept wider while it is not known how deep the
 * tool cuts, so that twice the spread of a cut does not reach the fingers.
 */
export function rulesAsCut(rules: CuttingRules, belief: ToolBelief): CuttingRules {
  const gain = gainOf(belief);
  const excess = 2 * Math.hypot(belief.sd / gain, belief.cutSd);
  const kept = Math.min(1, (1 + coveredExcess) / (1 + excess));
  return {
    ...rules,
    depthStepMm: rules.depthStepMm * gain,
    swathMm: rules.widthMm - (rules.widthMm - rules.swathMm) * kept,
  };
}

/**
 * What may still be added to every cell, ohm: room beside the swath, and growth over the uncut cell.
 *
 * @param uncutOhm cells as measured before the first cut; null = not known, then they follow from the cuts made
 */
export function roomOfCells(
  profile: TrackProfile,
  rules: CuttingRules,
  made: readonly Cut[],
  uncutOhm: readonly number[] | null,
): readonly number[] {
  if (uncutOhm === null) return profile.cells.map(({ index }) => mostAddedOhm(index, profile, rules, made));
  const unlimited = { ...rules, mostGrowth: Number.POSITIVE_INFINITY };
  return profile.cells.map(({ index, ohm }) => {
    const mayGrow = (uncutOhm[index] ?? 0) * (1 + rules.mostGrowth) - ohm;
    return Math.max(0, Math.min(mayGrow, mostAddedOhm(index, profile, unlimited, made)));
  });
}

/** Relative change of depth by which the slope of the effect is taken. */
const nudge = 0.02;

/**
 * What a pass teaches of the gain, cell by cell (one outcome for each, in order; predicted 0 where nothing was cut). The
 * effect grows a little faster than the depth, so it is taken as a straight line around the gain believed:
 * predicted = its slope, achieved = gain believed times slope + what came out beyond expectation.
 *
 * @param cuts as asked in the pass; `earlier` = as asked before it
 * @param uncutOhm cells as measured before the first cut; null = not known
 */
export function cutOutcomes(
  before: TrackProfile,
  after: TrackProfile,
  cuts: readonly Cut[],
  earlier: readonly Cut[],
  rules: CuttingRules,
  belief: ToolBelief,
  uncutOhm: readonly number[] | null = null,
): readonly CutOutcome[] {
  const gain = gainOf(belief);
  const made = asSeen(earlier, belief, before, rules, uncutOhm);
  const expected = predictCuts(asCut(cuts, belief), before, rules, made);
  const deeper = predictCuts(asCut(cuts, { ...belief, mean: gain * (1 + nudge) }), before, rules, made);
  return before.cells.map((cell, i): CutOutcome => {
    const now = after.cells[i];
    const slope = ((deeper[i] ?? 0) - (expected[i] ?? 0)) / (gain * nudge);
    const beyond = (now?.ohm ?? Number.NaN) - cell.ohm - (expected[i] ?? 0);
    return {
      predictedOhm: slope,
      achievedOhm: gain * slope + beyond,
      uOhm: Math.hypot(cell.uOhm, now?.uOhm ?? Number.NaN),
    };
  });
}

/**
 * By how much more than its depth the effect of a cut scatters: l / (W - d) grows by 1 + (growth of the film that is cut),
 * and about three quarters of a cell are cut.
 */
export function steepness(cellOhm: number, addedOhm: number): number {
  return cellOhm > 0 ? 1 + (4 / 3) * (addedOhm / cellOhm) : 1;
}
