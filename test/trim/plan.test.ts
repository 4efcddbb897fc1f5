import { beforeAll, describe, expect, it } from 'vitest';
import { exampleLaw } from '../../src/law/examples.ts';
import { priorBelief } from '../../src/trim/belief.ts';
import { predictCuts } from '../../src/trim/cuts-of-pass.ts';
import { cuttingRulesFor } from '../../src/trim/cutting-rules.ts';
import { planTrim } from '../../src/trim/plan.ts';
import { defaultRiskLimit } from '../../src/trim/share.ts';
import { type LinearSolver, loadLinearSolver } from '../../src/trim/solver.ts';
import type { Cut, CuttingRules, ToolBelief, TrackProfile, TrimPlan } from '../../src/trim/trim.ts';
import { randomTrack, trackOfCells } from './random-tracks.ts';

const law = exampleLaw('PF-104');
const rules = known(cuttingRulesFor('PF-104'));
const knownTool: ToolBelief = { mean: 1, sd: 0.01, cutSd: 0.1, cuts: 200 };
let solver: LinearSolver;
beforeAll(async () => {
  solver = await loadLinearSolver();
});

function known(found: CuttingRules | null): CuttingRules {
  if (found === null) throw new Error('PF-104 is a printed part');
  return found;
}

function planned(profile: TrackProfile, belief = knownTool, cuts: readonly Cut[] = []): TrimPlan | null {
  const sort = planTrim(profile, law, rules, belief, cuts, { solver });
  return sort.word === 'trimmable' ? sort.plan : null;
}

/** The track after cuts of a tool that does just what is believed. */
function cutTrack(profile: TrackProfile, cuts: readonly Cut[], earlier: readonly Cut[] = []): TrackProfile {
  const added = predictCuts(cuts, profile, rules, earlier);
  return trackOfCells(
    law,
    profile.cells.map((cell, i) => cell.ohm + (added[i] ?? 0)),
    0.02,
  );
}

const tracks = Array.from({ length: 40 }, (_, seed) => randomTrack(law, seed + 1, 1.3, 0.02));

describe('the plan of a pass', () => {
  it('names cuts from the closed end on, in whole steps of the tool, beside the swath and clear of the ends', () => {
    let cutsSeen = 0;
    for (const profile of tracks) {
      const plan = planned(profile);
      if (plan === null) continue;
      expect(plan.cuts.map((cut) => cut.number)).toEqual(plan.cuts.map((_, i) => i + 1));
      plan.cuts.forEach((cut, i) => {
        cutsSeen += 1;
        const cell = profile.cells[cut.cellIndex];
        const [fromMm, toMm] = cut.kind === 'shave' ? [cut.fromMm, cut.toMm] : [cut.atMm, cut.atMm];
        expect(cut.cellIndex).toBeGreaterThanOrEqual(plan.cuts[i - 1]?.cellIndex ?? 0);
        expect(fromMm).toBeGreaterThanOrEqual(Math.max(cell?.fromMm ?? 0, rules.closedEdgeMm + rules.endMarginMm));
        expect(toMm).toBeLessThanOrEqual(Math.min(cell?.toMm ?? 0, rules.openEdgeMm - rules.endMarginMm));
        const steps = cut.depthMm / rules.depthStepMm;
        expect(Math.abs(steps - Math.round(steps))).toBeLessThan(1e-6);
        expect(cut.depthMm).toBeLessThan((rules.widthMm - rules.swathMm) / 2);
      });
    }
    expect(cutsSeen).toBeGreaterThan(150);
  });

  it('brings the track in when the tool does what is believed, where it says one pass is enough', () => {
    let checked = 0;
    for (const profile of tracks) {
      const plan = planned(profile);
      if (plan === null || plan.passesExpected > 1.2) continue;
      const sort = planTrim(cutTrack(profile, plan.cuts), law, rules, knownTool, plan.cuts, { solver });
      expect(sort.word).toBe('conforms');
      checked += 1;
    }
    expect(checked).toBeGreaterThan(15);
  });

  it('predicts what the cuts do to every point', () => {
    const profile = tracks.find((track) => (planned(track)?.cuts.length ?? 0) > 8);
    const plan = profile === undefined ? null : planned(profile);
    if (profile === undefined || plan === null) throw new Error('no track needs eight cuts');
    const taps = cutTrack(profile, plan.cuts).taps;
    plan.points.forEach((point, i) => {
      const lossDb = law.points[point.pointIndex]?.lossDb ?? Number.NaN;
      expect(point.deviationAfterDb).toBeCloseTo(-20 * Math.log10(taps[i]?.ratio ?? Number.NaN) - lossDb, 6);
      expect(point.deviationBeforeDb).toBeCloseTo(-20 * Math.log10(profile.taps[i]?.ratio ?? Number.NaN) - lossDb, 6);
      expect(point.sdAfterDb).toBeGreaterThan(0);
    });
  });

  it('asks a weak tool for more and a strong one for less, to the same end', () => {
    const [profile] = tracks.filter((track) => (planned(track)?.cuts.length ?? 0) > 8);
    if (profile === undefined) throw new Error('no track needs eight cuts');
    const depths = [0.8, 1, 1.25].map((mean) => {
      const plan = planned(profile, { ...knownTool, mean });
      return { plan, depthMm: plan?.cuts.reduce((sum, cut) => sum + cut.depthMm, 0) ?? 0 };
    });
    expect((depths[0]?.depthMm ?? 0) / (depths[1]?.depthMm ?? 1)).toBeCloseTo(1.25, 1);
    expect((depths[2]?.depthMm ?? 0) / (depths[1]?.depthMm ?? 1)).toBeCloseTo(0.8, 1);
    const totals = depths.map(({ plan }) => plan?.totalAfterOhm ?? Number.NaN);
    expect(Math.max(...totals) / Math.min(...totals)).toBeLessThan(1.01);
  });

  it('takes a smaller share while the tool is unknown and the way is narrow, a larger one as it is learnt', () => {
    const rising = [priorBelief('mill'), { ...knownTool, sd: 0.05 }, knownTool];
    let smaller = 0;
    for (const profile of tracks) {
      const shares = rising.map((belief) => planned(profile, belief)?.share ?? 0);
      for (let i = 1; i < shares.length; i += 1) if ((shares[i - 1] ?? 0) < (shares[i] ?? 0) - 0.02) smaller += 1;
      for (const belief of rising) {
        const plan = planned(profile, belief);
        if (plan !== null && plan.cuts.length > 0) expect(plan.overCutRisk).toBeLessThanOrEqual(defaultRiskLimit);
      }
    }
    expect(smaller).toBeGreaterThan(2);
  });

  it('stops inside the band shrunk by U, and does not chase what is left', () => {
    for (const profile of tracks) {
      const plan = planned(profile);
      if (plan === null) continue;
      const done = cutTrack(profile, plan.cuts);
      if (planTrim(done, law, rules, knownTool, plan.cuts, { solver }).word !== 'conforms') continue;
      const onceMore = planTrim(done, law, rules, knownTool, plan.cuts, { solver });
      expect(onceMore).toEqual({ word: 'conforms' });
    }
  });

  it('goes on from the cuts there are: numbers follow, and no cell grows beyond what is allowed in all', () => {
    for (const profile of tracks.slice(0, 20)) {
      const first = planTrim(profile, law, rules, knownTool, [], { solver, mostShare: 0.5 });
      if (first.word !== 'trimmable') continue;
      const uncutOhm = profile.cells.map((cell) => cell.ohm);
      const half = cutTrack(profile, first.plan.cuts);
      const second = planTrim(half, law, rules, knownTool, first.plan.cuts, { solver, uncutOhm });
      if (second.word !== 'trimmable') continue;
      const numbers = [...first.plan.cuts, ...second.plan.cuts].map((cut) => cut.number);
      expect(numbers).toEqual(numbers.map((_, i) => i + 1));
      const end = cutTrack(half, second.plan.cuts, first.plan.cuts);
      end.cells.forEach((cell, i) => {
        expect(cell.ohm).toBeLessThan((uncutOhm[i] ?? 0) * (1 + rules.mostGrowth) * 1.02);
      });
    }
  });

  it('refuses a pass when any share worth taking risks the piece, and says how much', () => {
    const profile = tracks.find((track) => planned(track, priorBelief('mill')) !== null);
    if (profile === undefined) throw new Error('no trimmable track');
    const sort = planTrim(profile, law, rules, priorBelief('mill'), [], { solver, riskLimit: 0 });
    if (sort.word !== 'trimmable') throw new Error(sort.word);
    if (sort.plan.share === 0) {
      expect(sort.plan.cuts).toEqual([]);
      expect(sort.plan.overCutRisk).toBeGreaterThan(0);
    } else {
      expect(sort.plan.overCutRisk).toBe(0);
    }
  });
});
