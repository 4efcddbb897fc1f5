import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { cutSpecimen, cutTrack, type FilmCut } from '../../src/fader/cuts.ts';
import { filmOhm, filmOhmBelow, type Track } from '../../src/fader/track.ts';
import { trueCells, trueLossDb, trueRatio, trueTotalOhm } from '../../src/fader/truth.ts';
import { addedByField, type StripCut, solveStrip } from '../trim/strip-field.ts';
import { perfectFader } from './perfect-fader.ts';

const widthMm = 4;

/** Even film, 1 ohm a square, 60 mm long in cells of 0.05 mm. */
const boundaryMm = Float64Array.from({ length: 1201 }, (_, i) => i * 0.05);
const even: Track = {
  closedEdgeMm: 0,
  openEdgeMm: 60,
  boundaryMm,
  cumulativeOhm: boundaryMm.map((mm) => mm / widthMm),
  jointMm: [10, 40],
  jointOhm: [2.5, 10],
  tcrPerK: [-300e-6, -290e-6, -310e-6],
};
const added = (cuts: readonly FilmCut[]): number => filmOhm(cutTrack(even, cuts, widthMm)) - filmOhm(even);

const shave = (depthMm: number, lengthMm: number, side: 'left' | 'right' = 'left', fromMm = 25.02): FilmCut => ({
  kind: 'shave',
  side,
  fromMm,
  toMm: fromMm + lengthMm,
  depthMm,
});
const plunge = (depthMm: number, side: 'left' | 'right' = 'left', atMm = 30.01): FilmCut => ({
  kind: 'plunge',
  side,
  atMm,
  depthMm,
});

/** The same cut in widths for the field solution, in a strip of five widths. */
const inField = (cuts: readonly StripCut[]): number => addedByField(5, cuts, 64);
const fieldShave = (depth: number, length: number, side: 'left' | 'right' = 'left'): StripCut => ({
  kind: 'shave',
  side,
  from: 1.5,
  to: 1.5 + length,
  depth,
});

function expectWithin(found: number, expected: number, share: number): void {
  expect(Math.abs(found / expected - 1), `${found} against ${expected}`).toBeLessThan(share);
}

describe('cuts against a two-dimensional field solution', () => {
  test.each([0.0625, 0.125, 0.25, 0.375])('a plunge of %d widths, within 3 %', (depth) => {
    const field = inField([{ kind: 'plunge', side: 'left', at: 2.5, depth }]);
    expectWithin(added([plunge(depth * widthMm)]), field, 0.03);
  });

  test.each([
    [0.0625, 1],
    [0.125, 0.5],
    [0.125, 2],
    [0.25, 0.5],
    [0.25, 1],
    [0.375, 1],
  ])('a shave of %d widths, %d widths long, within 3 %', (depth, length) => {
    const field = inField([fieldShave(depth, length)]);
    expectWithin(added([shave(depth * widthMm, length * widthMm)]), field, 0.03);
  });

  test('a very short shave, within 5 %', () => {
    expectWithin(added([shave(1, 1)]), inField([fieldShave(0.25, 0.25)]), 0.05);
  });

  test.each([
    [0.25, 0.125, 1, 0.04],
    [0.125, 0.125, 1, 0.04],
    [0.25, 0.1875, 0.5, 0.04],
    [0.25, 0.25, 0.5, 0.04],
    [0.25, 0.125, 0.25, 0.07],
    [0.125, 0.125, 0.25, 0.07],
  ])('shaves of %d and %d widths on both sides, %d long: together within %d, the second within 0.1', (...shape) => {
    const [one, other, length, share] = shape;
    const first = shave(one * widthMm, length * widthMm);
    const both = added([first, shave(other * widthMm, length * widthMm, 'right')]);
    const fieldFirst = inField([fieldShave(one, length)]);
    const fieldBoth = inField([fieldShave(one, length), fieldShave(other, length, 'right')]);
    expectWithin(both, fieldBoth, share);
    expectWithin(both - added([first]), fieldBoth - fieldFirst, 0.1);
  });

  test.each([
    ['a shallow plunge', { kind: 'plunge', side: 'left', at: 2.5, depth: 0.125 }, plunge(0.5, 'left', 30), 0.1],
    ['a plunge', { kind: 'plunge', side: 'left', at: 2.5, depth: 0.25 }, plunge(1, 'left', 30), 0.06],
    ['a shallow shave', fieldShave(0.125, 2), shave(0.5, 8, 'left', 26), 0.02],
    ['a shave', fieldShave(0.25, 2), shave(1, 8, 'left', 26), 0.02],
  ] as const)('what the wiper sees beside %s', (_what, cut, model, share) => {
    const { middle, squares } = solveStrip(5, [cut], 64);
    const track = cutTrack(even, [model], widthMm);
    let worst = 0;
    for (const { along, potential } of middle) {
      const atMm = 30 + (along - 2.5) * widthMm;
      const found = filmOhmBelow(track, atMm) - filmOhmBelow(even, atMm);
      worst = Math.max(worst, Math.abs(found - (potential - along)) / (squares - 5));
    }
    // Share of all that the cut adds.
    expect(worst).toBeLessThan(share);
  });
});

const anyCut: fc.Arbitrary<FilmCut> = fc
  .record({
    kind: fc.constantFrom('shave', 'plunge'),
    side: fc.constantFrom('left', 'right'),
    fromMm: fc.double({ min: 1, max: 50, noNaN: true }),
    lengthMm: fc.double({ min: 0.3, max: 9, noNaN: true }),
    depthMm: fc.double({ min: 0.001, max: 1.2, noNaN: true }),
  })
  .map(({ kind, side, fromMm, lengthMm, depthMm }) =>
    kind === 'shave'
      ? { kind: 'shave', side, fromMm, toMm: fromMm + lengthMm, depthMm }
      : { kind: 'plunge', side, atMm: fromMm, depthMm },
  );

describe('any cuts', () => {
  test('only ever raise resistance: everywhere against the uncut track, in all with every further cut', () => {
    fc.assert(
      fc.property(fc.array(anyCut, { maxLength: 8 }), anyCut, (cuts, one) => {
        const before = cutTrack(even, cuts, widthMm);
        const after = cutTrack(even, [...cuts, one], widthMm);
        const ohm = (track: Track, i: number): number =>
          (track.cumulativeOhm[i] ?? 0) - (track.cumulativeOhm[i - 1] ?? 0);
        let least = Number.POSITIVE_INFINITY;
        for (let i = 1; i < boundaryMm.length; i++) least = Math.min(least, ohm(after, i) / ohm(even, i));
        expect(least).toBeGreaterThan(1 - 1e-9);
        // A thin cut close beside a deep one lies in its shadow and may add nothing.
        expect(filmOhm(after)).toBeGreaterThan(filmOhm(before) - 1e-9);
      }),
    );
  });

  test('come to the same in whatever order they are made', () => {
    fc.assert(
      fc.property(fc.array(anyCut, { minLength: 2, maxLength: 6 }), (cuts) => {
        expect(added([...cuts].reverse())).toBeCloseTo(added(cuts), 9);
      }),
      { numRuns: 50 },
    );
  });

  test('never sever the track', () => {
    const cuts = [plunge(4), plunge(4, 'right'), shave(4, 3), shave(4, 3, 'right')];
    expect(added(cuts)).toBeGreaterThan(1);
    expect(Number.isFinite(added(cuts))).toBe(true);
  });

  test('nothing beyond a width and a half from a cut', () => {
    const track = cutTrack(even, [shave(0.8, 4)], widthMm);
    expect(filmOhmBelow(track, 25 - 6)).toBeCloseTo(filmOhmBelow(even, 25 - 6), 4);
    const whole = filmOhm(track) - filmOhm(even);
    expect(filmOhmBelow(track, 29 + 6) - filmOhmBelow(even, 29 + 6)).toBeCloseTo(whole, 4);
  });

  test('leave the parts of the track at the joints of the inks right', () => {
    const track = cutTrack(even, [shave(0.8, 4), shave(0.5, 5, 'right', 5)], widthMm);
    expect(track.jointOhm[0]).toBeCloseTo(filmOhmBelow(track, 10), 9);
    expect(track.jointOhm[1]).toBeCloseTo(filmOhmBelow(track, 40), 9);
  });

  test('of no depth do nothing', () => {
    expect(added([shave(0, 4), plunge(0)])).toBe(0);
    expect(cutTrack(even, [], widthMm)).toBe(even);
  });
});

describe('a cut fader', () => {
  const fader = perfectFader({ closedOhm: 1, openOhm: 2 });
  const taps = [20.013, 40, 60, 80];

  test('has its total, its ratios and its law changed as a divider must', () => {
    const cut = cutSpecimen(fader, [shave(1, 6, 'left', 47)], widthMm);
    const grown = trueTotalOhm(cut) - trueTotalOhm(fader);
    expect(grown).toBeGreaterThan(10);
    // Below the cut: y' = S / (Rp + r). Above: y' = (S + r) / (Rp + r).
    const total = trueTotalOhm(fader);
    expect(trueRatio(cut, 20.013, 'mean')).toBeCloseTo((trueRatio(fader, 20.013, 'mean') * total) / (total + grown), 9);
    expect(trueRatio(cut, 80, 'mean')).toBeCloseTo((trueRatio(fader, 80, 'mean') * total + grown) / (total + grown), 6);
    expect(trueLossDb(cut, 20.013, 'mean')).toBeGreaterThan(trueLossDb(fader, 20.013, 'mean'));
  });

  test('has true cells that sum to its total and grow where it was cut', () => {
    const cut = cutSpecimen(fader, [shave(1, 6, 'left', 47)], widthMm);
    const before = trueCells(fader, taps);
    const after = trueCells(cut, taps);
    expect(after.reduce((a, b) => a + b, 0)).toBeCloseTo(trueTotalOhm(cut), 6);
    const grown = after.map((ohm, i) => ohm - (before[i] ?? 0));
    expect(grown).toHaveLength(5);
    expect(grown[2]).toBeCloseTo(trueTotalOhm(cut) - trueTotalOhm(fader), 1);
    for (const i of [0, 1, 3, 4]) expect(Math.abs(grown[i] ?? 1)).toBeLessThan(0.01);
  });

  test('is left as it was; the cut one is another', () => {
    const before = filmOhm(fader.track);
    cutSpecimen(fader, [shave(1, 6)], widthMm);
    expect(filmOhm(fader.track)).toBe(before);
    expect(cutSpecimen(fader, [], widthMm)).toBe(fader);
  });
});
