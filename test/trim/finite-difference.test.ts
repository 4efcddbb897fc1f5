import { describe, expect, test } from 'vitest';
import { bodySquares, plungeSquares, shaveSquares, stepSquares } from '../../src/trim/squares.ts';
import { addedByField, solveStrip } from './strip-field.ts';

/** The formulas against a solution of Laplace's equation that knows none of them. Strip of width 1. */
const cells = 64;

function expectWithin(found: number, expected: number, share: number): void {
  expect(Math.abs(found / expected - 1), `${found} against ${expected}`).toBeLessThan(share);
}

describe('the field solution itself', () => {
  test('gives length over width where nothing is cut, and an even slope', () => {
    const { squares, middle } = solveStrip(3, [], 16);
    expect(squares).toBeCloseTo(3, 10);
    for (const { along, potential } of middle) expect(potential).toBeCloseTo(along, 10);
  });

  test('does not care from which edge or in which half a cut is made', () => {
    const one = solveStrip(4, [{ kind: 'plunge', side: 'left', at: 1.75, depth: 0.25 }], 16).squares;
    const other = solveStrip(4, [{ kind: 'plunge', side: 'right', at: 2.25, depth: 0.25 }], 16).squares;
    expect(other).toBeCloseTo(one, 10);
    expect(one).toBeGreaterThan(4);
  });

  test('a shave from end to end leaves a narrower strip', () => {
    expect(solveStrip(3, [{ kind: 'shave', side: 'left', from: 0, to: 3, depth: 0.25 }], 16).squares).toBeCloseTo(
      4,
      10,
    );
  });
});

describe('formulas against the field, within 1 %', () => {
  test.each([0.125, 0.25, 0.5, 0.75])('plunge of %d widths', (depth) => {
    const field = addedByField(4, [{ kind: 'plunge', side: 'left', at: 2, depth }], cells);
    expectWithin(plungeSquares(depth, 1), field, 0.01);
  });

  test.each([
    [0.25, 2],
    [0.5, 1],
    [0.125, 2],
    [0.25, 1],
    [0.25, 0.5],
    [0.25, 0.25],
    [0.375, 0.25],
  ])('shave of %d widths, %d widths long', (depth, length) => {
    const field = addedByField(5, [{ kind: 'shave', side: 'left', from: 1.5, to: 1.5 + length, depth }], cells);
    expectWithin(shaveSquares(length, depth, 1), field, 0.01);
  });

  test('step from the whole width to half of it', () => {
    const half = addedByField(4, [{ kind: 'shave', side: 'left', from: 2, to: 4, depth: 0.5 }], cells);
    expectWithin(stepSquares(0.5, 1), half - bodySquares(2, 0.5, 1), 0.01);
  });

  test('shaves of both edges at one place: the sides are steps of their own, the width left is shared', () => {
    const field = addedByField(
      5,
      [
        { kind: 'shave', side: 'left', from: 1.5, to: 3.5, depth: 0.25 },
        { kind: 'shave', side: 'right', from: 1.5, to: 3.5, depth: 0.125 },
      ],
      cells,
    );
    expectWithin(bodySquares(2, 0.375, 1) + 2 * (stepSquares(0.25, 1) + stepSquares(0.125, 1)), field, 0.01);
  });
});

describe('published field solutions', () => {
  test('an L-cut adds slightly less than the shave of its outline (6.470 against 6.498 squares of 5)', () => {
    const lCut =
      5 +
      addedByField(
        5,
        [
          { kind: 'plunge', side: 'left', at: 2, depth: 0.5 },
          { kind: 'leg', from: 2, to: 3, depth: 0.5 },
        ],
        cells,
      );
    const shave = 5 + addedByField(5, [{ kind: 'shave', side: 'left', from: 2, to: 3, depth: 0.5 }], cells);
    expect(Math.abs(lCut - 6.47)).toBeLessThan(0.006);
    expect(Math.abs(shave - 6.498)).toBeLessThan(0.005);
    expect(lCut).toBeLessThan(shave);
  });

  test('two opposed plunges of 0.6 one width apart add more than both alone (6.40 against 6.353)', () => {
    const both =
      5 +
      addedByField(
        5,
        [
          { kind: 'plunge', side: 'left', at: 2, depth: 0.6 },
          { kind: 'plunge', side: 'right', at: 3, depth: 0.6 },
        ],
        60,
      );
    expect(Math.abs(both - 6.4)).toBeLessThan(0.01);
    expect(Math.abs(5 + 2 * plungeSquares(0.6, 1) - 6.353)).toBeLessThan(0.001);
  });
});
