/**
 * Trimming: 1,000 raw tracks from the virtual press, measured by whole point checks and cut with tools of unknown gain; the
 * planner beside two other ways of working. And how long a plan takes.
 */

import type { Law } from '../../src/law/build.ts';
import { lossAt } from '../../src/law/curve.ts';
import { priorBelief } from '../../src/trim/belief.ts';
import { planTrim } from '../../src/trim/plan.ts';
import { type LinearSolver, loadLinearSolver } from '../../src/trim/solver.ts';
import { randomTrack } from '../trim/random-tracks.ts';
import {
  filmRatio,
  rulesOf,
  sortTally,
  type TrimmedTrack,
  tally,
  trimmingLaw,
  trimPopulation,
  wayNames,
} from '../trim/trimming-population.ts';
import { atMost, type BenchLine, median, told } from './line.ts';

const tracks = 1_000;
const plans = 1_000;
/** Plans made first, while the engine still compiles; told apart. */
const warmUp = 50;

export async function benchTrim(seed: number): Promise<BenchLine[]> {
  const solver = await loadLinearSolver();
  const { wallMs, processorMs, firstMs } = planningTimes(seed, solver);
  const trimmed: TrimmedTrack[] = [];
  for await (const track of trimPopulation(seed, tracks, solver)) trimmed.push(track);
  const sort = sortTally(trimmed);
  const planned = tally(trimmed, 'planned');
  const percent = (part: number, whole: number): number => (100 * part) / whole;
  const lines = [
    atMost('trim: conforming untrimmed', percent(sort.conforming, tracks), '%', 5),
    told(
      'trim: beyond cutting (an all-knowing planner cannot reach the bare bands)',
      percent(sort.beyond, tracks),
      '%',
    ),
    told('trim: reachable in the bare bands only, not in those shrunk by U', percent(sort.between, tracks), '%'),
    atMost(
      `trim: not brought in within 3 passes, of ${planned.tracks} that can be`,
      percent(planned.tracks - planned.broughtIn, planned.tracks),
      '%',
      2,
    ),
    atMost('trim: lost by over-cutting', percent(planned.lost, planned.tracks), '%', 0.2),
    atMost('trim: hopeless not told before the first cut', percent(sort.beyond - sort.beyondTold, sort.beyond), '%', 5),
    atMost('trim: trimmable called hopeless', percent(sort.wronglyTold, sort.trimmable), '%', 0.5),
  ];
  for (const way of wayNames) {
    const one = tally(trimmed, way);
    lines.push(
      told(`trim, ${way}: brought in within 3 passes`, percent(one.broughtIn, one.tracks), '%'),
      told(`trim, ${way}: after the first pass`, percent(one.firstPass, one.tracks), '%'),
      told(`trim, ${way}: passes, mean of those brought in`, one.meanPasses, ''),
      told(`trim, ${way}: film removed, mean of those brought in`, one.meanRemovedMm2, 'mm2'),
      told(
        `trim, ${way}: film of the planned over its own, on the tracks both brought in`,
        filmRatio(trimmed, way),
        '',
      ),
      told(`trim, ${way}: lost by over-cutting`, percent(one.lost, one.tracks), '%'),
      told(`trim, ${way}: given up (hopeless or refused)`, percent(one.calledHopeless + one.refused, one.tracks), '%'),
      told(`trim, ${way}: accepted though truly outside`, percent(one.wronglyAccepted, one.tracks), '%'),
    );
  }
  lines.push(
    atMost('trim: plan for 41 cells, median', median(wallMs), 'ms', 20),
    atMost(`trim: plan for 41 cells, worst of ${plans}, each the quicker of two`, Math.max(...wallMs), 'ms', 100),
    told('trim: plan for 41 cells, processor time, median', median(processorMs), 'ms'),
    told('trim: plan for 41 cells, processor time, worst', Math.max(...processorMs), 'ms'),
    told('trim: the first plan of all', firstMs, 'ms'),
  );
  return lines;
}

/** The law with a point more between every two, as a slow pass would give: 40 taps, 41 cells. */
function finerLaw(law: Law): Law {
  const points = law.points.flatMap((point, i) => {
    const next = law.points[i + 1];
    if (next === undefined) return [point];
    const travelMm = (point.travelMm + next.travelMm) / 2;
    const plusDb = point.plusDb === null || next.plusDb === null ? null : Math.max(point.plusDb, next.plusDb);
    return [
      point,
      { travelMm, lossDb: lossAt(law, travelMm) ?? 0, minusDb: Math.max(point.minusDb, next.minusDb), plusDb },
    ];
  });
  return { ...law, points: points.slice(0, 40) };
}

function planningTimes(seed: number, solver: LinearSolver) {
  const law = finerLaw(trimmingLaw);
  const rules = rulesOf(law.id);
  const belief = priorBelief('mill');
  const wallMs: number[] = [];
  const processorMs: number[] = [];
  let firstMs: number | null = null;
  for (let round = -warmUp; wallMs.length < plans; round += 1) {
    const profile = randomTrack(law, seed + round, 1.5, 0.015);
    const timed = () => {
      const usedBefore = process.cpuUsage();
      const began = performance.now();
      const { word } = planTrim(profile, law, rules, belief, [], { solver });
      const ms = performance.now() - began;
      const { user, system } = process.cpuUsage(usedBefore);
      return { word, ms, processor: (user + system) / 1000 };
    };
    const first = timed();
    if (first.word !== 'trimmable') continue;
    firstMs ??= first.ms;
    if (round < 0) continue;
    // The quicker of two: what other processes take of the machine is not planning.
    const second = timed();
    wallMs.push(Math.min(first.ms, second.ms));
    processorMs.push(Math.min(first.processor, second.processor));
  }
  return { wallMs, processorMs, firstMs: firstMs ?? Number.NaN };
}
