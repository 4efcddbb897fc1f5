/** Why a track cannot be brought in, in words for a person: which points are missed and by how much. */
import type { Law } from '../law/build.ts';
import { DB_PER_RELATIVE } from '../law/decibel.ts';
import { firstMiss, leastMissProgramme, sumOf, type TrimProblem } from './programme.ts';
import { reachOf, type Stretch } from './reach.ts';
import type { LinearSolver } from './solver.ts';
import type { HopelessReason } from './trim.ts';

/** A cell with less than this share of what the law asks of it has no film to speak of. */
const deadShare = 0.2;
/** Misses below this are rounding, relative to the ratio. */
const leastMiss = 1e-5;

/**
 * @param problem a problem that cannot be solved with a margin of 0 or more
 * @returns the cause first, then every point that is missed
 */
export function hopelessReasons(problem: TrimProblem, law: Law, solver: LinearSolver): readonly HopelessReason[] {
  const shut = problem.limits.taps.filter((tap) => tap.closed);
  if (shut.length > 0)
    return shut.map(({ pointIndex, travelMm }) => ({
      code: 'notMeasured',
      cellIndex: null,
      pointIndex,
      sentence: `At ${travelMm} mm the uncertainty is as wide as the band, so no cut could be shown to be right. Clean the track and measure again.`,
    }));
  return [cause(problem, law), ...missedPoints(problem, law, solver)];
}

function cause(problem: TrimProblem, law: Law): HopelessReason {
  const { limits, cellOhm, mostAddedOhm } = problem;
  const totalOhm = sumOf(cellOhm);
  const { leastBy, mostBy, leastPerOhm, mostPerOhm } = reachOf(problem);
  const isWhole = (stretch: Stretch | null): boolean =>
    stretch !== null && stretch.from < 0 && stretch.to === limits.taps.length;
  if (isWhole(mostBy) && leastBy === null) {
    const sentence = `The whole track has ${ohms(totalOhm)}, ${ohms(totalOhm - limits.mostTotalOhm)} above the most the law allows, and cutting only adds.`;
    return { code: 'totalTooHigh', cellIndex: null, pointIndex: null, sentence };
  }
  if (isWhole(leastBy) && mostBy === null) {
    const most = totalOhm + sumOf(mostAddedOhm);
    const sentence = `Cut as deep as allowed everywhere, the track reaches ${ohms(most)}, ${ohms(limits.leastTotalOhm - most)} less than the law asks.`;
    return { code: 'totalTooLow', cellIndex: null, pointIndex: null, sentence };
  }
  const dead = leastBy !== null && leastBy.to - leastBy.from === 1 ? leastBy.to : null;
  if (dead !== null && (cellOhm[dead] ?? 0) < deadShare * (askedShare(problem, dead) * totalOhm)) {
    const sentence = `${placeOf(problem, law, dead)} there is almost no film resistance (${ohms(cellOhm[dead] ?? 0)}), and what is not there cannot be cut.`;
    return { code: 'deadZone', cellIndex: dead, pointIndex: null, sentence };
  }
  const excess = Math.max(0, leastPerOhm / mostPerOhm - 1);
  if (mostBy !== null && mostBy.to - mostBy.from === 1) {
    const cell = mostBy.to;
    const over = ohms((cellOhm[cell] ?? 0) * (excess / (1 + excess)));
    const why = leastBy === null ? 'within the highest total allowed' : 'with the others cut as deep as allowed';
    const sentence = `${placeOf(problem, law, cell)} the film is too resistive already (${ohms(cellOhm[cell] ?? 0)}, about ${over} too much ${why}).`;
    return { code: 'cellTooResistive', cellIndex: cell, pointIndex: null, sentence };
  }
  const sentence = taperSentence(mostBy, leastBy, excess, (stretch) => between(problem, law, stretch));
  return { code: 'wrongTaper', cellIndex: null, pointIndex: null, sentence };
}

function taperSentence(
  tooResistive: Stretch | null,
  tooConductive: Stretch | null,
  excess: number,
  place: (stretch: Stretch) => string,
): string {
  const by = `by about ${Math.max(1, 100 * excess).toFixed(0)} %`;
  const end = 'the taper is wrong and cutting cannot mend it.';
  if (tooResistive === null)
    return `${tooConductive === null ? 'Everywhere' : place(tooConductive)} the film stays too conductive ${by} even when cut as deep as allowed: ${end}`;
  if (tooConductive === null)
    return `${place(tooResistive)} the film is too resistive ${by} even at the highest total allowed: ${end}`;
  return `${place(tooResistive)} the film is too resistive ${by} for what can be reached ${place(tooConductive).toLowerCase()}: ${end}`;
}

/** What the law asks a cell to be of the whole, at the middle of the bands. */
function askedShare({ limits: { taps } }: TrimProblem, cell: number): number {
  const below = cell === 0 ? 0 : (taps[cell - 1]?.aimRatio ?? 0);
  const above = cell === taps.length ? 1 : (taps[cell]?.aimRatio ?? 1);
  return above - below;
}

function missedPoints(problem: TrimProblem, law: Law, solver: LinearSolver): HopelessReason[] {
  const answer = solver.solve(leastMissProgramme(problem));
  if (answer.status !== 'optimal') return [];
  const first = firstMiss(problem);
  return problem.limits.taps.flatMap((tap, p) => {
    const quiet = answer.values[first + 2 * p] ?? 0;
    const loud = answer.values[first + 2 * p + 1] ?? 0;
    if (quiet <= leastMiss && loud <= leastMiss) return [];
    const aim = tap.aimRatio;
    const missDb =
      quiet > loud
        ? -DB_PER_RELATIVE * Math.log1p((-quiet * aim) / tap.lowRatio)
        : DB_PER_RELATIVE * Math.log1p((loud * aim) / tap.highRatio);
    const { pointIndex } = tap;
    const lossDb = law.points[pointIndex]?.lossDb ?? 0;
    const sentence = `The point at ${tap.travelMm} mm (-${lossDb.toFixed(1)} dB) would stay ${missDb.toFixed(2)} dB too ${quiet > loud ? 'quiet' : 'loud'}.`;
    return [{ code: 'wrongTaper' as const, cellIndex: null, pointIndex, sentence }];
  });
}

function placeOf(problem: TrimProblem, law: Law, cell: number): string {
  return between(problem, law, { from: cell - 1, to: cell });
}

function between({ limits: { taps } }: TrimProblem, law: Law, stretch: Stretch): string {
  const from = stretch.from < 0 ? 'the closed end' : `${taps[stretch.from]?.travelMm ?? 0} mm`;
  const to = stretch.to >= taps.length ? 'the open end' : `${taps[stretch.to]?.travelMm ?? law.travelMm} mm`;
  return `Between ${from} and ${to}`;
}

function ohms(value: number): string {
  const size = Math.abs(value);
  return `${value.toFixed(size < 10 ? 2 : size < 100 ? 1 : 0)} ohm`;
}
