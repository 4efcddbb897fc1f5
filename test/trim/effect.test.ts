import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { exampleLaw } from '../../src/law/examples.ts';
import { profileOfTaps } from '../../src/trim/cells.ts';
import { cuttingRulesFor } from '../../src/trim/cutting-rules.ts';
import { addedOhmPerCell, cutForAddedOhm, mostAddedOhm, removedMm2 } from '../../src/trim/effect.ts';
import { bodySquares, plungeSquares, shaveSquares, stepSquares } from '../../src/trim/squares.ts';
import type { Cut, CuttingRules, TrackProfile } from '../../src/trim/trim.ts';

function rulesOf(part: string): CuttingRules {
  const rules = cuttingRulesFor(part);
  if (!rules) throw new Error(`no rules for ${part}`);
  return rules;
}

const rules = rulesOf('PF-104');

/** Ten even cells of 10 mm and 1000 ohm, the last to the open end. */
const even: TrackProfile = profileOfTaps(
  Array.from({ length: 9 }, (_, i) => ({ pointIndex: i, travelMm: 10 * (i + 1), ratio: (i + 1) / 10, uRatio: 0 })),
  10_000,
  0,
  { closedEdgeMm: 0, openEdgeMm: 100 },
);
/** The same without grading: no ratio to grade by. */
const flat: TrackProfile = { ...even, taps: even.taps.map((tap) => ({ ...tap, ratio: 0 })) };

function lawProfile(id: string, totalOhm = 8500): TrackProfile {
  const law = exampleLaw(id);
  const taps = law.points.map((p, pointIndex) => ({
    pointIndex,
    travelMm: p.travelMm,
    ratio: 10 ** (-p.lossDb / 20),
    uRatio: 0,
  }));
  return profileOfTaps(taps, totalOhm, 0, rulesOf(id));
}

const shave = (change: Partial<Extract<Cut, { kind: 'shave' }>> = {}): Cut => ({
  kind: 'shave',
  number: 1,
  cellIndex: 4,
  side: 'left',
  fromMm: 43,
  toMm: 47,
  depthMm: 0.8,
  ...change,
});
const plunge = (change: Partial<Extract<Cut, { kind: 'plunge' }>> = {}): Cut => ({
  kind: 'plunge',
  number: 1,
  cellIndex: 4,
  side: 'left',
  atMm: 45,
  depthMm: 0.8,
  ...change,
});
const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
const all = (cuts: readonly Cut[], profile: TrackProfile): number[] =>
  cuts.reduce(
    (total, cut, i) => addedOhmPerCell(cut, profile, rules, cuts.slice(0, i)).map((ohm, k) => ohm + (total[k] ?? 0)),
    profile.cells.map(() => 0),
  );
const asArray = (made: Cut | Cut[] | null): Cut[] => (made === null ? [] : Array.isArray(made) ? made : [made]);

/** 1000 ohm over 10 mm of 4 mm film. */
const ohmPerSquare = 400;

describe('what a cut adds', () => {
  test('to the whole track is the squares of the formula times the sheet resistance', () => {
    expect(sum(addedOhmPerCell(shave(), flat, rules, []))).toBeCloseTo(ohmPerSquare * shaveSquares(4, 0.8, 4), 6);
    expect(sum(addedOhmPerCell(plunge(), flat, rules, []))).toBeCloseTo(ohmPerSquare * plungeSquares(0.8, 4), 6);
  });

  test('reaches about a width beyond its ends and no further', () => {
    const added = addedOhmPerCell(shave({ fromMm: 40, toMm: 50 }), flat, rules, []);
    expect(added[3]).toBeGreaterThan(1);
    expect(added[3]).toBeCloseTo(added[5] ?? Number.NaN, 9);
    expect((added[3] ?? 0) / (added[4] ?? 1)).toBeLessThan(0.1);
    expect(Math.max(added[2] ?? 1, added[6] ?? 1)).toBeLessThan(1e-4);
    expect(added[0]).toBe(0);
    const beside = addedOhmPerCell(plunge({ atMm: 46 }), flat, rules, []);
    expect((beside[5] ?? 1) / (beside[4] ?? 1)).toBeLessThan(0.002);
  });

  test('a plunge on a tap is shared by both cells', () => {
    const added = addedOhmPerCell(plunge({ atMm: 50 }), flat, rules, []);
    expect(added[4]).toBeCloseTo(added[5] ?? Number.NaN, 9);
  });

  test('counts more where the film is more resistive', () => {
    const law = lawProfile('PF-104');
    const low = sum(addedOhmPerCell(shave({ fromMm: 49.5, toMm: 50.5 }), law, rules, []));
    const high = sum(addedOhmPerCell(shave({ fromMm: 51.5, toMm: 52.5 }), law, rules, []));
    // 5 dB in 6 mm there, so in 2 mm; the reach past the taps takes a little of it.
    expect(Math.abs(high / low / 10 ** ((2 * 5) / 6 / 20) - 1)).toBeLessThan(0.02);
  });

  test('of both sides at one place is that of the width they leave, in either order', () => {
    const left = shave({ depthMm: 0.5 });
    const right = shave({ side: 'right', depthMm: 0.7 });
    // Measured before both: the second counts from the same sheet resistance, so give it the track after the first.
    const afterFirst = (first: Cut): TrackProfile => {
      const added = addedOhmPerCell(first, flat, rules, []);
      return { ...flat, cells: flat.cells.map((cell, i) => ({ ...cell, ohm: cell.ohm + (added[i] ?? 0) })) };
    };
    const inOrder = (first: Cut, second: Cut): number =>
      sum(addedOhmPerCell(first, flat, rules, [])) + sum(addedOhmPerCell(second, afterFirst(first), rules, [first]));
    expect(inOrder(left, right)).toBeCloseTo(inOrder(right, left), 6);
    const squares = bodySquares(4, 1.2, 4) + 2 * (stepSquares(0.5, 4) + stepSquares(0.7, 4));
    // One width long, so the ends have merged by less than 1 % of themselves.
    expect(inOrder(left, right) / (ohmPerSquare * squares)).toBeCloseTo(1, 2);
  });

  test('two shallow shaves of one edge do what one of both depths does', () => {
    const afterOne = addedOhmPerCell(shave({ depthMm: 0.3 }), flat, rules, []);
    const profile = { ...flat, cells: flat.cells.map((c, i) => ({ ...c, ohm: c.ohm + (afterOne[i] ?? 0) })) };
    const second = addedOhmPerCell(shave({ depthMm: 0.5, number: 2 }), profile, rules, [shave({ depthMm: 0.3 })]);
    const both = addedOhmPerCell(shave({ depthMm: 0.8 }), flat, rules, []);
    // The share of merged ends depends a little on how deep each goes.
    expect((sum(afterOne) + sum(second)) / sum(both)).toBeCloseTo(1, 2);
  });

  test('a plunge made deeper at its place adds what the deeper one has more', () => {
    const profile = { ...flat, cells: flat.cells.map((c) => ({ ...c, ohm: c.ohm })) };
    const first = plunge({ depthMm: 0.4 });
    const second = addedOhmPerCell(plunge({ depthMm: 0.4 }), profile, rules, [first]);
    const squares = plungeSquares(0.8, 4) - plungeSquares(0.4, 4);
    // The measured cell already holds the first cut, so its sheet resistance comes out lower by that.
    const own = 1000 / (10 / 4 + plungeSquares(0.4, 4));
    expect((second[4] ?? 0) / (own * squares)).toBeCloseTo(1, 3);
  });

  test('too deep to leave any film is refused', () => {
    expect(() => addedOhmPerCell(shave({ depthMm: 4 }), flat, rules, [])).toThrow(
      expect.objectContaining({ code: 'trim.cutGeometry' }),
    );
  });

  test('film taken is depth times length, for a thin cut depth times kerf', () => {
    expect(removedMm2(shave())).toBeCloseTo(3.2, 12);
    expect(removedMm2(plunge())).toBeCloseTo(0.8 * 0.0889, 6);
  });
});

describe.each(['PF-104', 'GF-60'])('the cut for a wanted effect on a %s', (part) => {
  const own = rulesOf(part);
  const profile = lawProfile(part);
  const cuttable = profile.cells.filter((cell) => mostAddedOhm(cell.index, profile, own, []) > 0);

  test('can be made in every cell but the last, which is all end margin', () => {
    expect(cuttable.map((cell) => cell.index)).toEqual(profile.cells.slice(0, -1).map((cell) => cell.index));
  });

  test('never adds more than wanted, and misses by less than a step of the tool', () => {
    fc.assert(
      fc.property(fc.constantFrom(...cuttable), fc.double({ min: 0.02, max: 0.5, noNaN: true }), (cell, growth) => {
        const most = mostAddedOhm(cell.index, profile, own, []);
        const wanted = Math.min(growth * cell.ohm, most);
        const cuts = asArray(cutForAddedOhm(cell.index, wanted, profile, own, [], 7));
        const [first] = cuts;
        if (!first) return;
        const got = cuts.reduce((ohm, cut) => ohm + (addedOhmPerCell(cut, profile, own, [])[cell.index] ?? 0), 0);
        const deeper = { ...first, depthMm: first.depthMm + own.depthStepMm };
        const oneMore =
          (addedOhmPerCell(deeper, profile, own, [])[cell.index] ?? 0) -
          (addedOhmPerCell(first, profile, own, [])[cell.index] ?? 0);
        // Two sides share the width, so together they add a little more than each alone.
        if (cuts.length === 1) {
          expect(got).toBeLessThanOrEqual(wanted * (1 + 1e-9));
          expect(wanted - got).toBeLessThan(oneMore * (1 + 1e-9));
        }
        for (const cut of cuts) {
          const steps = cut.depthMm / own.depthStepMm;
          expect(Math.abs(steps - Math.round(steps))).toBeLessThan(1e-6);
          expect(cut.depthMm).toBeLessThan((own.widthMm - own.swathMm) / 2);
        }
      }),
    );
  });

  test('lies inside its cell, clear of the taps by at least one and a half sd of the tool, off the end margins', () => {
    for (const cell of cuttable)
      for (const cut of asArray(cutForAddedOhm(cell.index, 0.2 * cell.ohm, profile, own, [], 1))) {
        const [fromMm, toMm] = cut.kind === 'shave' ? [cut.fromMm, cut.toMm] : [cut.atMm, cut.atMm];
        expect(fromMm).toBeGreaterThanOrEqual(cell.fromMm + 1.5 * own.placeSdMm - 1e-9);
        expect(toMm).toBeLessThanOrEqual(cell.toMm - 1.5 * own.placeSdMm + 1e-9);
        expect(fromMm).toBeGreaterThanOrEqual(own.closedEdgeMm + own.endMarginMm);
        expect(cut.kind).toBe('shave');
      }
  });

  test('goes on on the other side when one is used up, and ends when both are', () => {
    const cell = cuttable[Math.floor(cuttable.length / 2)];
    if (!cell) throw new Error('no cell');
    const wide: CuttingRules = { ...own, mostGrowth: 10 };
    const most = mostAddedOhm(cell.index, profile, wide, []);
    const cuts = asArray(cutForAddedOhm(cell.index, most * 0.9, profile, wide, [], 3));
    expect(cuts.map((cut) => [cut.side, cut.number])).toEqual([
      ['left', 3],
      ['right', 4],
    ]);
    const full = asArray(cutForAddedOhm(cell.index, most * 2, profile, wide, [], 3));
    expect(mostAddedOhm(cell.index, profile, wide, full)).toBe(0);
    expect(cutForAddedOhm(cell.index, 1, profile, wide, full, 5)).toBeNull();
  });

  test('is none when less is wanted than the tool can do, or nothing', () => {
    const cell = cuttable[5];
    if (!cell) throw new Error('no cell');
    expect(cutForAddedOhm(cell.index, cell.ohm * 1e-5, profile, own, [], 1)).toBeNull();
    expect(cutForAddedOhm(cell.index, 0, profile, own, [], 1)).toBeNull();
    expect(cutForAddedOhm(cell.index, Number.NaN, profile, own, [], 1)).toBeNull();
    expect(cutForAddedOhm(999, 1, profile, own, [], 1)).toBeNull();
  });
});

describe('end cells', () => {
  const law = lawProfile('PF-104');
  const first = shave({ cellIndex: 0, fromMm: 2, toMm: 5 });

  test('only their film can grow, not the contact that shows on the stop', () => {
    const [cell] = law.cells;
    if (!cell) throw new Error('no cell');
    // Half of the first cell is contact and lead.
    const known = { ...law, closedRatio: cell.ohm / 2 / law.totalOhm };
    expect(addedOhmPerCell(first, known, rules, [])[0]).toBeCloseTo(
      (addedOhmPerCell(first, law, rules, [])[0] ?? Number.NaN) / 2,
      9,
    );
    expect(mostAddedOhm(0, known, rules, [])).toBeCloseTo(mostAddedOhm(0, law, rules, []) / 2, 9);
  });

  test('one that is all contact cannot be cut', () => {
    const known = { ...law, closedRatio: 1e-3 };
    expect(mostAddedOhm(0, known, rules, [])).toBe(0);
    expect(cutForAddedOhm(0, 1, known, rules, [], 1)).toBeNull();
  });
});

describe('what may still be added', () => {
  test('is the allowed growth of the uncut cell, less what was added already', () => {
    const fresh = mostAddedOhm(4, flat, rules, []);
    expect(fresh).toBeCloseTo(1000 * rules.mostGrowth, 9);
    const first = shave({ depthMm: 0.4 });
    const added = addedOhmPerCell(first, flat, rules, []);
    const after = { ...flat, cells: flat.cells.map((c, i) => ({ ...c, ohm: c.ohm + (added[i] ?? 0) })) };
    expect(mostAddedOhm(4, after, rules, [first])).toBeCloseTo(fresh - (added[4] ?? 0), 6);
  });

  test('is nothing in a cell too short to keep clear of its taps, and in one without resistance', () => {
    const cells = flat.cells.map((c) => (c.index === 4 ? { ...c, toMm: c.fromMm + 0.5 } : c));
    expect(mostAddedOhm(4, { ...flat, cells }, rules, [])).toBe(0);
    const none = flat.cells.map((c) => (c.index === 4 ? { ...c, ohm: -3 } : c));
    expect(mostAddedOhm(4, { ...flat, cells: none }, rules, [])).toBe(0);
  });

  test('a short cell gets a plunge in its middle', () => {
    const cells = flat.cells.map((c) => (c.index === 4 ? { ...c, toMm: c.fromMm + 1.2, ohm: 120 } : c));
    const [cut] = asArray(cutForAddedOhm(4, 10, { ...flat, cells }, rules, [], 1));
    expect(cut).toMatchObject({ kind: 'plunge', atMm: 40.6, side: 'left' });
  });
});

test('rules are known for the printed parts and for nothing else', () => {
  expect(rules).toMatchObject({ widthMm: 4, swathMm: 1.5, openEdgeMm: 102.9 });
  expect(rulesOf('GF-60').openEdgeMm).toBe(58.9);
  expect(cuttingRulesFor('QS-54')).toBeNull();
  expect(cuttingRulesFor('toString')).toBeNull();
});

test('cuts far from each other simply add', () => {
  const a = shave({ fromMm: 13, toMm: 17, cellIndex: 1 });
  const b = shave({ fromMm: 73, toMm: 77, cellIndex: 7, number: 2 });
  expect(sum(all([a, b], flat))).toBeCloseTo(sum(all([a], flat)) + sum(all([b], flat)), 9);
});
