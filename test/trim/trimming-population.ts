/**
 * A population of raw tracks on the virtual rig, each trimmed in several ways. Measurements are whole point checks of the
 * rig's physics judged as the station judges them; cuts come out as the virtual tool makes them. The ways see nothing else.
 */
import { defaultParameters } from '../../firmware-protocol/virtual-rig/parameters.ts';
import { makePopulation, type Population } from '../../firmware-protocol/virtual-rig/population.ts';
import { cutWithTool } from '../../firmware-protocol/virtual-rig/tool.ts';
import { cutSpecimen, type FilmCut } from '../../src/fader/cuts.ts';
import { Random } from '../../src/fader/random.ts';
import type { Specimen } from '../../src/fader/specimen.ts';
import { exampleLaw } from '../../src/law/examples.ts';
import { profileOfRun } from '../../src/trim/cells.ts';
import { cuttingRulesFor } from '../../src/trim/cutting-rules.ts';
import { isWithin, largestMargin } from '../../src/trim/optimum.ts';
import type { LinearSolver } from '../../src/trim/solver.ts';
import type { Cut, CuttingRules, TrackProfile } from '../../src/trim/trim.ts';
import { createDirectRig, type DirectRig } from '../procedure/direct-rig.ts';
import { measureDirectly } from '../procedure/measure-directly.ts';
import { type ClampedPiece, type PieceEnd, problemFor, trimPiece, trueProfile, type Way } from './trim-piece.ts';
import { greedyWay, type PlannerWay, plannerWay, proportionalWay } from './trim-ways.ts';

export const trimmingLaw = exampleLaw('PF-104');
const fadersPerRig = 20;
const fadersPerLot = 20;
/** Every so many pieces the tool is another one, and the planner is told so. */
const fadersPerTool = 100;

export const wayNames = ['planned', 'by hand', 'closed form'] as const;
export type WayName = (typeof wayNames)[number];

export interface TrimmedTrack {
  readonly index: number;
  /** What an all-knowing planner can do: true cells, true gain, bands shrunk by the U the measurements will have. */
  readonly reachable: boolean;
  /** Not even the bare bands can be reached. */
  readonly beyondCutting: boolean;
  /** Inside, as first measured. */
  readonly conforms: boolean;
  readonly ends: Readonly<Record<WayName, PieceEnd>>;
}

export async function* trimPopulation(seed: number, size: number, solver: LinearSolver): AsyncGenerator<TrimmedTrack> {
  const parameters = defaultParameters;
  const rules = rulesOf(trimmingLaw.id);
  const random = new Random(seed).sub('trimming');
  const ways = waysFor(rules, solver, random);
  let lot: Population = lotOf(0);
  let rig: DirectRig = createDirectRig(parameters, seed);
  for (let index = 0; index < size; index += 1) {
    if (index % fadersPerLot === 0) lot = lotOf(index);
    if (index % fadersPerRig === 0) rig = createDirectRig(parameters, random.sub('rig', index).bits());
    if (index % fadersPerTool === 0) ways.planned.changeTool();
    else if (index % 12 === 0) ways.planned.changeSheet();
    const specimen = lot.specimen(index % fadersPerLot);
    const { verdict } = await measureDirectly(rig, specimen, trimmingLaw);
    const { profile } = profileOfRun(verdict, trimmingLaw, rules);
    if (profile === null) throw new Error(`track ${index} of seed ${seed} could not be measured: ${verdict.reason}`);
    const known = allKnowing(specimen, profile, rules, solver);
    const ends: Partial<Record<WayName, PieceEnd>> = {};
    for (const name of wayNames) {
      const piece = clamped(specimen, rig, `tool ${Math.floor(index / fadersPerTool)}`, random.sub(name, index));
      ends[name] = await trimPiece(piece, ways[name], verdict, trimmingLaw, rules);
    }
    yield { index, ...known, ends: ends as Record<WayName, PieceEnd> };
  }

  function lotOf(index: number): Population {
    const { id, travelMm, resistance, interpolation, points } = trimmingLaw;
    const law = { id, travelMm, nominalOhm: resistance.nominalOhm, interpolation, points };
    const own = random.sub('lot', index).bits();
    const options = {
      seed: own,
      size: fadersPerLot,
      law,
      finish: 'trimming',
      faultShare: 0,
      faults: [],
      year: 26,
      week: 48,
    } as const;
    return makePopulation(options, parameters);
  }

  function clamped(specimen: Specimen, on: DirectRig, toolId: string, own: Random): ClampedPiece {
    let asked: readonly Cut[] = [];
    const made: FilmCut[] = [];
    let now = specimen;
    return {
      truth: () => now,
      cuts: () => asked,
      made: () => made.map((cut) => ({ ...cut, number: 0, cellIndex: 0 })),
      cut(cuts) {
        for (const cut of cuts) made.push(cutWithTool(cut, toolId, random, own.sub(made.length), parameters.tool));
        asked = [...asked, ...cuts];
        now = cutSpecimen(specimen, made, rules.widthMm);
      },
      measure: async () => (await measureDirectly(on, now, trimmingLaw)).verdict,
    };
  }
}

export function rulesOf(part: string): CuttingRules {
  const rules = cuttingRulesFor(part);
  if (rules === null) throw new RangeError(`nothing is known of cutting ${part}`);
  return rules;
}

function waysFor(rules: CuttingRules, solver: LinearSolver, random: Random) {
  const ways: Record<WayName, Way> & { readonly planned: PlannerWay } = {
    planned: plannerWay(trimmingLaw, rules, { solver }),
    'by hand': greedyWay(trimmingLaw, rules, random.sub('hand')),
    'closed form': proportionalWay(trimmingLaw, rules),
  };
  return ways;
}

function allKnowing(specimen: Specimen, measured: TrackProfile, rules: CuttingRules, solver: LinearSolver) {
  const truth = trueProfile(specimen, measured, rules);
  const reaches = (guard: number): boolean => {
    const margin = largestMargin(problemFor(truth, trimmingLaw, rules, [], guard), solver);
    return margin !== null && margin >= 0;
  };
  return {
    reachable: reaches(1),
    beyondCutting: !reaches(0),
    conforms: isWithin(problemFor(measured, trimmingLaw, rules, [], 1)),
  };
}

/** Film taken by the planner over that taken by another way, on the tracks that both brought in. */
export function filmRatio(tracks: readonly TrimmedTrack[], other: WayName): number {
  const both = tracks.filter(({ ends }) => ends.planned.word === 'broughtIn' && ends[other].word === 'broughtIn');
  const film = (way: WayName): number => both.reduce((sum, { ends }) => sum + ends[way].removedMm2, 0);
  return film('planned') / film(other);
}

/** What a way of working came to. Shares of the tracks that are reachable and do not conform untrimmed. */
export interface WayTally {
  readonly tracks: number;
  readonly broughtIn: number;
  readonly firstPass: number;
  readonly meanPasses: number;
  readonly meanRemovedMm2: number;
  /** Reachable at first, not brought in, and no longer reachable. */
  readonly lost: number;
  readonly calledHopeless: number;
  readonly refused: number;
  /** Accepted by measurement although truly outside. */
  readonly wronglyAccepted: number;
}

export function tally(tracks: readonly TrimmedTrack[], way: WayName): WayTally {
  const of = tracks.filter((track) => track.reachable && !track.conforms).map((track) => track.ends[way]);
  const done = of.filter((end) => end.word === 'broughtIn');
  const mean = (value: (end: PieceEnd) => number): number =>
    done.reduce((sum, end) => sum + value(end), 0) / Math.max(1, done.length);
  return {
    tracks: of.length,
    broughtIn: done.length,
    firstPass: done.filter((end) => end.passes === 1).length,
    meanPasses: mean((end) => end.passes),
    meanRemovedMm2: mean((end) => end.removedMm2),
    lost: of.filter((end) => end.word !== 'broughtIn' && !end.stillReachable).length,
    calledHopeless: of.filter((end) => end.word === 'hopeless').length,
    refused: of.filter((end) => end.word === 'refused').length,
    wronglyAccepted: done.filter((end) => !end.trulyInside).length,
  };
}

/** How well the sort before the first cut tells the hopeless from the others. */
export function sortTally(tracks: readonly TrimmedTrack[]) {
  const told = (track: TrimmedTrack): boolean =>
    track.ends.planned.word === 'hopeless' && track.ends.planned.passes === 0;
  const beyond = tracks.filter((track) => track.beyondCutting);
  const trimmable = tracks.filter((track) => track.reachable && !track.conforms);
  return {
    conforming: tracks.filter((track) => track.conforms).length,
    beyond: beyond.length,
    beyondTold: beyond.filter(told).length,
    trimmable: trimmable.length,
    wronglyTold: trimmable.filter(told).length,
    /** Reachable in the bare bands only: nobody can promise anything of these. */
    between: tracks.filter((track) => !track.beyondCutting && !track.reachable).length,
  };
}
