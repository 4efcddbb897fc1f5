import { describe, expect, test } from 'vitest';
import { exampleLaw } from '../../src/law/examples.ts';
import { asCut, asSeen } from '../../src/trim/as-cut.ts';
import { predictCuts } from '../../src/trim/cuts-of-pass.ts';
import { cuttingRulesFor } from '../../src/trim/cutting-rules.ts';
import type { Cut, CuttingRules, ToolBelief, TrackProfile } from '../../src/trim/trim.ts';
import { randomTrack, trackOfCells } from './random-tracks.ts';

const law = exampleLaw('PF-104');
const rules = cuttingRulesFor('PF-104') as CuttingRules;
const belief: ToolBelief = { mean: 0.9, sd: 0.02, cutSd: 0.1, cuts: 30 };
const asked: readonly Cut[] = [
  { kind: 'shave', number: 1, cellIndex: 11, side: 'left', fromMm: 49, toMm: 53, depthMm: 0.6 },
  { kind: 'shave', number: 2, cellIndex: 13, side: 'right', fromMm: 61, toMm: 65, depthMm: 0.4 },
];

/** The track after the cuts came out `factor` times as deep as believed. */
function cutTrack(uncut: TrackProfile, factor: number, uDb: number): TrackProfile {
  const really = asCut(asked, belief).map((cut) => ({ ...cut, depthMm: cut.depthMm * factor }));
  const added = predictCuts(really, uncut, rules, []);
  return trackOfCells(
    law,
    uncut.cells.map((cell, i) => cell.ohm + (added[i] ?? 0)),
    uDb,
  );
}

describe('cuts as the growth of their cells shows them', () => {
  const uncut = randomTrack(law, 5, 1, 0.0005);
  const uncutOhm = uncut.cells.map((cell) => cell.ohm);
  const seen = (factor: number, uDb = 0.0005): readonly number[] => {
    const found = asSeen(asked, belief, cutTrack(uncut, factor, uDb), rules, uncutOhm);
    return found.map((cut, i) => cut.depthMm / (asked[i]?.depthMm ?? 0) / belief.mean);
  };

  test.each([0.8, 1, 1.2])('have the depth they really have, here %d of the believed one', (factor) => {
    for (const found of seen(factor)) expect(Math.abs(found - factor)).toBeLessThan(0.02);
  });

  test('are believed rather than seen when the measurement says little', () => {
    for (const found of seen(1.2, 0.2)) expect(Math.abs(found - 1)).toBeLessThan(0.05);
  });

  test('leave film, however much the cell grew and however deep they were asked', () => {
    const deep = asked.map((cut) => ({ ...cut, depthMm: 3.9 }));
    const opened = trackOfCells(
      law,
      uncutOhm.map((ohm) => ohm * 4),
      0.0005,
    );
    for (const cut of asSeen(deep, { ...belief, mean: 1.2 }, opened, rules, uncutOhm)) {
      expect(cut.depthMm).toBeLessThan(rules.widthMm / 2);
    }
  });

  test('are believed when the uncut cells are not known', () => {
    expect(asSeen(asked, belief, cutTrack(uncut, 1.2, 0.0005), rules, null)).toEqual(asCut(asked, belief));
  });
});
