import { beforeAll, describe, expect, it } from 'vitest';
import { ratioFromLoss } from '../../src/law/decibel.ts';
import { exampleLaw } from '../../src/law/examples.ts';
import { isWithin, optimumOf } from '../../src/trim/optimum.ts';
import { type LinearSolver, loadLinearSolver } from '../../src/trim/solver.ts';
import { hopelessReasons } from '../../src/trim/sort.ts';
import { problemOf, trackOfCells } from './random-tracks.ts';

const law = exampleLaw('PF-104');
const ratios = law.points.map((point) => ratioFromLoss(point.lossDb));
const exact = [...ratios, 1].map((ratio, i) => ratio - (i === 0 ? 0 : (ratios[i - 1] ?? 0)));

/** A track on the law but for a level and some cells. */
const track = (level: number, factors: Readonly<Record<number, number>> = {}, uDb = 0.02) =>
  trackOfCells(
    law,
    exact.map((share, i) => 10_000 * level * share * (factors[i] ?? 1)),
    uDb,
  );

let solver: LinearSolver;
beforeAll(async () => {
  solver = await loadLinearSolver();
});

const reasonsOf = (...of: Parameters<typeof track>) => {
  const problem = problemOf(track(...of), law);
  const optimum = optimumOf(problem, solver);
  expect(optimum === null || optimum.largestMargin < 0).toBe(true);
  return hopelessReasons(problem, law, solver);
};

describe('the sort of a piece', () => {
  it('finds a track on the law within, and one printed low not', () => {
    expect(isWithin(problemOf(track(1), law))).toBe(true);
    expect(isWithin(problemOf(track(0.7), law))).toBe(false);
  });

  it('names a total that is too high already, and by how much', () => {
    const [first, ...others] = reasonsOf(1.25);
    expect(first?.code).toBe('totalTooHigh');
    expect(first?.sentence).toMatch(/12500 ohm, 51\d ohm above/);
    expect(others).toEqual([]);
  });

  it('names a total that no allowed cut can raise enough', () => {
    expect(reasonsOf(0.5)[0]?.code).toBe('totalTooLow');
  });

  it('names the cell that is too resistive already and the points it spoils', () => {
    // Cell 16 (78 to 84 mm) has twice what the law asks, at a total that leaves no room to raise the others.
    const [first, ...points] = reasonsOf(0.95, { 16: 2.4 });
    expect(first).toMatchObject({ code: 'cellTooResistive', cellIndex: 16 });
    expect(first?.sentence).toMatch(/^Between 78 mm and 84 mm the film is too resistive already/);
    expect(points.length).toBeGreaterThan(0);
    expect(
      points.every(({ pointIndex, sentence }) => pointIndex !== null && /too (loud|quiet)\.$/.test(sentence)),
    ).toBe(true);
  });

  it('names a dead zone: a stretch without film to cut', () => {
    const [first] = reasonsOf(0.9, { 14: 0.02 });
    expect(first).toMatchObject({ code: 'deadZone', cellIndex: 14 });
  });

  it('names a wrong taper when a whole zone does not fit the others', () => {
    const zone = Object.fromEntries(exact.map((_, i) => [i, i <= 3 ? 2.2 : 1]));
    const [first] = reasonsOf(1, zone);
    expect(first?.code).toBe('wrongTaper');
    expect(first?.sentence).toMatch(/taper is wrong/);
  });

  it('tells the misses of the points so that a plan with bands that much wider would do', () => {
    const reasons = reasonsOf(0.95, { 16: 2.4 }).slice(1);
    const profile = track(0.95, { 16: 2.4 });
    const wider = new Map(
      reasons.map(({ pointIndex, sentence }) => [pointIndex, Number(/stay ([\d.]+) dB/.exec(sentence)?.[1])]),
    );
    const points = law.points.map((point, i) => {
      const more = (wider.get(i) ?? 0) + 0.01;
      return { ...point, minusDb: point.minusDb + more, plusDb: point.plusDb === null ? null : point.plusDb + more };
    });
    const optimum = optimumOf(problemOf(profile, { ...law, points }), solver);
    expect(optimum?.largestMargin).toBeGreaterThanOrEqual(0);
  });

  it('calls a point not measured well enough when its uncertainty fills the band', () => {
    const profile = track(0.85, {}, 0.3);
    const reasons = hopelessReasons(problemOf(profile, law), law, solver);
    expect(reasons.every(({ code }) => code === 'notMeasured')).toBe(true);
    expect(reasons.some(({ pointIndex }) => pointIndex === 15)).toBe(true);
  });
});
