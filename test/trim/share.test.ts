import { describe, expect, it } from 'vitest';
import { Random } from '../../src/fader/random.ts';
import { exampleLaw } from '../../src/law/examples.ts';
import { upperTail } from '../../src/trim/normal.ts';
import { reachOf } from '../../src/trim/reach.ts';
import { overCutRisk, safeShare } from '../../src/trim/share.ts';
import type { ToolBelief, TrackProfile } from '../../src/trim/trim.ts';
import { problemOf, randomTrack } from './random-tracks.ts';

const law = exampleLaw('PF-104');
const tool: ToolBelief = { mean: 1, sd: 0.05, cutSd: 0.1, cuts: 30 };

/** A track with one stretch whose cells all get as much as brings it near the highest that can be matched. */
function narrowPiece(seed: number, share: number): { profile: TrackProfile; added: readonly number[] } | null {
  const profile = randomTrack(law, seed, 1, 0.003);
  const problem = problemOf(profile, law);
  const { reachable, leastPerOhm } = reachOf(problem);
  if (!reachable) return null;
  const top = problem.limits.taps.length;
  const from = 14;
  const low = problem.limits.taps[from]?.lowRatio ?? 0;
  const now = problem.cellOhm.slice(from + 1, top + 1).reduce((sum, ohm) => sum + ohm, 0);
  const room = (1 - low) / leastPerOhm - now;
  const cells = [15, 16, 17, 18, 19];
  const sum = cells.reduce((all, i) => all + (problem.cellOhm[i] ?? 0), 0);
  const added = problem.cellOhm.map((ohm, i) => (cells.includes(i) ? (share * room * ohm) / sum : 0));
  return room > 0 ? { profile, added } : null;
}

describe('the risk of a pass', () => {
  it('is what happens when such passes are made many times, or a little more', () => {
    let compared = 0;
    for (let seed = 1; seed <= 30; seed += 1) {
      const piece = narrowPiece(seed, 0.8);
      if (piece === null) continue;
      const { profile, added } = piece;
      const problem = problemOf(profile, law);
      const risk = overCutRisk(problem, profile, tool, added);
      if (risk < 0.005 || risk > 0.2) continue;
      const random = new Random(seed);
      const tries = 3000;
      let lost = 0;
      for (let i = 0; i < tries; i += 1) {
        const gain = random.normal(1, tool.sd);
        const after = problem.cellOhm.map((ohm, cell) => {
          const depth = gain * (1 + random.normal(0, tool.cutSd));
          // The film that is cut, three quarters of the cell, grows as 1 / (width left).
          const relative = (4 / 3) * ((added[cell] ?? 0) / ohm);
          const gone = relative / (1 + relative);
          return ohm * (1 + 0.75 * ((gone * depth) / (1 - gone * depth)));
        });
        const mostAddedOhm = problem.cellOhm.map((ohm, c) =>
          Math.max(0, ohm + (problem.mostAddedOhm[c] ?? 0) - (after[c] ?? 0)),
        );
        if (!reachOf({ ...problem, cellOhm: after, mostAddedOhm }).reachable) lost += 1;
      }
      const seen = lost / tries;
      // Above: three standard deviations of a binomial share, and the straightened curve of the effect. Below: an upper
      // bound may be wide when several stretches are near, but not idle.
      expect(seen, `seed ${seed}, risk ${risk}`).toBeLessThan(risk * 1.35 + 3 * Math.sqrt(risk / tries));
      expect(seen, `seed ${seed}, risk ${risk}`).toBeGreaterThan(risk * 0.1 - 3 * Math.sqrt(risk / tries));
      compared += 1;
    }
    expect(compared).toBeGreaterThan(8);
  });

  it('rises with the share, with the doubt about the tool, and is none where nothing is cut', () => {
    const piece = narrowPiece(2, 0.9);
    if (piece === null) throw new Error('seed 2 has a narrow piece');
    const { profile, added } = piece;
    const problem = problemOf(profile, law);
    const at = (share: number, belief = tool): number =>
      overCutRisk(
        problem,
        profile,
        belief,
        added.map((ohm) => share * ohm),
      );
    expect(at(0)).toBe(0);
    for (let share = 0.1; share < 1.2; share += 0.1) expect(at(share + 0.1)).toBeGreaterThanOrEqual(at(share));
    expect(at(0.9, { ...tool, sd: 0.15 })).toBeGreaterThan(at(0.9));
  });

  it('decides the share: all of it, part of it, or none', () => {
    const shares: number[] = [];
    for (let seed = 1; seed <= 30; seed += 1) {
      const piece = narrowPiece(seed, 0.95);
      if (piece === null) continue;
      const { profile, added } = piece;
      const problem = problemOf(profile, law);
      const { share, risk } = safeShare(problem, profile, { ...tool, sd: 0.15 }, added, 0.005);
      shares.push(share);
      if (share > 0) expect(risk).toBeLessThanOrEqual(0.005);
      else expect(risk).toBeGreaterThan(0.005);
    }
    expect(Math.max(...shares)).toBeLessThan(1);
    const piece = narrowPiece(1, 0.1);
    if (piece === null) throw new Error('seed 1 has room');
    expect(safeShare(problemOf(piece.profile, law), piece.profile, tool, piece.added, 0.005).share).toBe(1);
  });
});

describe('the upper tail of the normal distribution', () => {
  // Closed form, erfc(z / sqrt 2) / 2, to the printed digits by an independent program.
  it.each([
    [0, 0.5],
    [1, 0.15865525393145705],
    [2, 0.022750131948179195],
    [3, 0.0013498980316300957],
    [6, 9.865876450376946e-10],
    [-1, 0.8413447460685429],
  ])('beyond %d', (z, tail) => {
    expect(upperTail(z) / tail).toBeCloseTo(1, 9);
  });
});
