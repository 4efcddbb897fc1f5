/** Three ways of working: the planner, cutting by hand without a plan, and the closed-form plan. */
import type { Random } from '../../src/fader/random.ts';
import { trueRatio, trueTotalOhm } from '../../src/fader/truth.ts';
import type { Law } from '../../src/law/build.ts';
import { cutOutcomes } from '../../src/trim/as-cut.ts';
import { afterSheetChange, afterToolChange, priorBelief, updateBelief } from '../../src/trim/belief.ts';
import { profileOfTaps } from '../../src/trim/cells.ts';
import { cutsOfPass } from '../../src/trim/cuts-of-pass.ts';
import { mostAddedOhm } from '../../src/trim/effect.ts';
import { greedyCut } from '../../src/trim/greedy.ts';
import { isWithin } from '../../src/trim/optimum.ts';
import { type PlanOptions, planTrim } from '../../src/trim/plan.ts';
import { proportionalPlan, proportionalRefusal, targetSharesOf } from '../../src/trim/proportional.ts';
import type { CuttingRules, ToolBelief, TrackProfile } from '../../src/trim/trim.ts';
import { type ClampedPiece, problemFor, type Way } from './trim-piece.ts';

export interface PlannerWay extends Way {
  changeTool(): void;
  changeSheet(): void;
}

/** The planner; what it learns of the tool it keeps from piece to piece. */
export function plannerWay(law: Law, rules: CuttingRules, options: PlanOptions): PlannerWay {
  let belief: ToolBelief = priorBelief('mill');
  let uncutOhm: readonly number[] = [];
  return {
    changeTool() {
      belief = afterToolChange('mill');
    },
    changeSheet() {
      belief = afterSheetChange(belief, 'mill');
    },
    next(profile, piece) {
      if (piece.cuts().length === 0) uncutOhm = profile.cells.map((cell) => cell.ohm);
      const sort = planTrim(profile, law, rules, belief, piece.cuts(), { ...options, uncutOhm });
      if (sort.word === 'conforms') return { word: 'done' };
      if (sort.word === 'hopeless') return { word: 'hopeless' };
      return sort.plan.cuts.length === 0 ? { word: 'refused' } : { word: 'cut', cuts: sort.plan.cuts };
    },
    learn(before, after, cuts, earlier) {
      const outcomes = cutOutcomes(before, after, cuts, earlier, rules, belief, uncutOhm);
      belief = updateBelief(belief, outcomes);
    },
  };
}

/** The closed form at full share; it believes what a cut is said to do. */
export function proportionalWay(law: Law, rules: CuttingRules): Way {
  return {
    next(profile, piece) {
      const problem = problemFor(profile, law, rules, piece.cuts(), 1);
      if (isWithin(problem)) return { word: 'done' };
      const shares = targetSharesOf(problem.limits.taps.map((tap) => tap.aimRatio));
      const plan = proportionalPlan(problem.cellOhm, shares, problem.limits.leastTotalOhm);
      // It has no other plan to offer when a cell would be cut too deep or the total comes out too high.
      if (proportionalRefusal(plan, problem.cellOhm, uncuttableApart(problem.mostAddedOhm), law) !== null)
        return { word: 'hopeless' };
      const wanted = plan.addedOhm.map((ohm, i) => Math.min(ohm, problem.mostAddedOhm[i] ?? 0));
      const { cuts } = cutsOfPass(wanted, profile, rules, piece.cuts());
      return cuts.length === 0 ? { word: 'refused' } : { word: 'cut', cuts };
    },
  };
}

/** Where no tool reaches at all (the last millimetre) the closed form is not held to its own exactness. */
function uncuttableApart(mostAddedOhm: readonly number[]): readonly number[] {
  return mostAddedOhm.map((ohm) => (ohm === 0 ? Number.POSITIVE_INFINITY : ohm));
}

/** Cuts a hand makes between two full measurements before it gives up. */
const mostHandCuts = 60;
/** Share of what is missing that a careful hand takes at once. */
const handShare = 0.7;

/**
 * By hand with a needle at every tap: within a pass the worst point is cut until it reads in, then the next, until all
 * read in; the needles are as sure as a measurement. Then the piece is measured.
 */
export function greedyWay(law: Law, rules: CuttingRules, random: Random): Way {
  return {
    next(profile, piece) {
      if (isWithin(problemFor(profile, law, rules, piece.cuts(), 1))) return { word: 'done' };
      let made = 0;
      const { limits } = problemFor(profile, law, rules, piece.cuts(), 1);
      for (; made < mostHandCuts; made += 1) {
        const now = needles(profile, piece, rules, random);
        const most = now.cells.map((cell) => mostAddedOhm(cell.index, now, rules, piece.cuts()));
        const step = greedyCut(
          now.cells.map((cell) => cell.ohm),
          limits,
          most,
        );
        if (step === null) break;
        const wanted = most.map((_, i) => (i === step.cellIndex ? handShare * step.addedOhm : 0));
        const least = (now.cells[step.cellIndex]?.ohm ?? 0) * 0.012;
        wanted[step.cellIndex] = Math.max(wanted[step.cellIndex] ?? 0, Math.min(least, step.addedOhm));
        const { cuts } = cutsOfPass(wanted, now, rules, piece.cuts());
        if (cuts.length === 0) break;
        piece.cut(cuts);
      }
      return made === 0 ? { word: 'refused' } : { word: 'cut', cuts: [] };
    },
  };
}

function needles(profile: TrackProfile, piece: ClampedPiece, rules: CuttingRules, random: Random): TrackProfile {
  const truth = piece.truth();
  const taps = profile.taps.map((tap) => {
    const ratio = trueRatio(truth, tap.travelMm, 'mean');
    return { ...tap, ratio: ratio * (1 + random.normal(0, tap.uRatio / tap.ratio)) };
  });
  return profileOfTaps(taps, trueTotalOhm(truth), profile.uTotalOhm, rules);
}
