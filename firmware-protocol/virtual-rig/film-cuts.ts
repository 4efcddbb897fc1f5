import { cutSpecimen, type FilmCut } from '../../src/fader/cuts.ts';
import type { Random } from '../../src/fader/random.ts';
import type { Specimen } from '../../src/fader/specimen.ts';
import type { RigParameters } from './parameters-schema.ts';
import type { Population } from './population.ts';
import { SideDoorError } from './side-door.ts';
import { cutProblem, cutWithTool, type ToolCut } from './tool.ts';

/** Depths of a cut in progress are told apart this finely, mm. */
const liveStepMm = 0.005;

interface LiveCut {
  readonly index: number;
  /** As it would come out if the tool ran on to its end. */
  readonly whole: FilmCut;
  readonly startUs: number;
  /** Depth really cut in a second of rig time, mm. */
  readonly trueRateMmPerS: number;
}

/** The batch as it is after all that was cut. Cuts stay with their fader as long as the rig lives. Times are rig clock, us. */
export class FilmCuts {
  private readonly population: Population;
  private readonly random: Random;
  private readonly tool: RigParameters['tool'];
  private readonly made = new Map<number, FilmCut[]>();
  private readonly begun = new Map<number, number>();
  private live: LiveCut | null = null;
  private kept: {
    readonly index: number;
    readonly cuts: number;
    readonly liveSteps: number;
    specimen: Specimen;
  } | null = null;

  constructor(population: Population, random: Random, tool: RigParameters['tool']) {
    this.population = population;
    this.random = random;
    this.tool = tool;
  }

  /** The fader as it is at a moment. @throws RangeError when there is no such fader */
  specimen(index: number, atUs: number): Specimen {
    const printed = this.population.specimen(index);
    const made = this.made.get(index) ?? [];
    const live = this.live?.index === index ? this.live : null;
    if (made.length === 0 && !live) return printed;
    const liveSteps = live ? Math.floor(this.liveDepthMm(live, atUs) / liveStepMm + 1e-9) : 0;
    const { kept } = this;
    if (kept && kept.index === index && kept.cuts === made.length && kept.liveSteps === liveSteps) return kept.specimen;
    const growing = live && liveSteps > 0 ? [{ ...live.whole, depthMm: liveSteps * liveStepMm }] : [];
    const specimen = cutSpecimen(printed, [...made, ...growing], this.population.part.printedWidthMm);
    this.kept = { index, cuts: made.length, liveSteps, specimen };
    return specimen;
  }

  /** Cuts really made in a fader, in order; one in progress is not among them. */
  cutsOf(index: number): readonly FilmCut[] {
    return this.made.get(index) ?? [];
  }

  /** All or none. @throws SideDoorError `cutImpossible` */
  apply(index: number, cuts: readonly ToolCut[], toolId: string): void {
    for (const cut of cuts) this.mustBePossible(cut);
    for (const cut of cuts) this.add(index, this.cutOut(index, cut, toolId));
  }

  /** Begins a cut that deepens at the set rate. @throws SideDoorError `cutImpossible`, `cuttingAlready` */
  start(index: number, cut: ToolCut, toolId: string, rateMmPerS: number, nowUs: number): void {
    this.mustBePossible(cut);
    if (!(rateMmPerS > 0 && Number.isFinite(rateMmPerS)))
      throw new SideDoorError('cutImpossible', `A cut deepens by more than 0 mm/s, not ${rateMmPerS}.`);
    if (this.live)
      throw new SideDoorError('cuttingAlready', 'A cut is in progress; stop it before the next one is begun.');
    const whole = this.cutOut(index, cut, toolId);
    const trueRateMmPerS = (rateMmPerS * whole.depthMm) / cut.depthMm;
    this.live = { index, whole, startUs: nowUs, trueRateMmPerS };
  }

  /** Ends the cut in progress as deep as it has come. @returns that depth in mm; null = none was in progress */
  stop(nowUs: number): number | null {
    const { live } = this;
    if (!live) return null;
    this.live = null;
    const depthMm = this.liveDepthMm(live, nowUs);
    if (depthMm > 0) this.add(live.index, { ...live.whole, depthMm });
    return depthMm;
  }

  private liveDepthMm(live: LiveCut, atUs: number): number {
    const depthMm = (live.trueRateMmPerS * Math.max(0, atUs - live.startUs)) / 1e6;
    return Math.min(depthMm, live.whole.depthMm);
  }

  private add(index: number, cut: FilmCut): void {
    this.made.set(index, [...(this.made.get(index) ?? []), cut]);
  }

  private cutOut(index: number, cut: ToolCut, toolId: string): FilmCut {
    const order = this.begun.get(index) ?? 0;
    this.begun.set(index, order + 1);
    return cutWithTool(cut, toolId, this.random, this.random.sub('cut', index, order), this.tool);
  }

  private mustBePossible(cut: ToolCut): void {
    const { part } = this.population;
    const problem = cutProblem(cut, part.travelMm, part.printedWidthMm);
    if (problem !== null) throw new SideDoorError('cutImpossible', `This cut cannot be made: ${problem}.`);
  }
}
