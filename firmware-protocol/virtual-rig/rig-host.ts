import { serialInLot } from '../../src/fader/lot.ts';
import { Random } from '../../src/fader/random.ts';
import { formatSerialNumber } from '../../src/fader/serial-number.ts';
import type { Specimen } from '../../src/fader/specimen.ts';
import { assembleBench } from './assemble.ts';
import { type Certificate, certify } from './certificate.ts';
import type { Clock } from './clock.ts';
import { type Disturbance, DisturbedWay } from './disturbance.ts';
import { faderTruth } from './fader-truth.ts';
import { FilmCuts } from './film-cuts.ts';
import { LineCollector } from './line-collector.ts';
import { Machine } from './machine.ts';
import type { Meter } from './meter.ts';
import { type CompleteRigOptions, completeOptions, type RigOptions } from './options.ts';
import type { Bench } from './order-work.ts';
import { makePopulation, type Population } from './population.ts';
import { RigClock } from './rig-clock.ts';
import { type Execution, type FaderTruth, type RigMoment, type SideDoor, SideDoorError } from './side-door.ts';
import type { ToolCut } from './tool.ts';
import { drawTraits, type RigTraits, type StationFault } from './traits.ts';

/** Samples are dropped when more than this waits on the line. */
const sampleBacklogBytes = 65_536;
/** How long the virtual operator takes for each grip, rig time. */
const gripUs = 100_000;

/** The other end of the cable. */
export interface Cable {
  /** Bytes for the station. */
  toStation(bytes: Buffer): void;
}

/** One whole virtual rig without its connector: batch, bench, controller, disturbed line and side door. */
export class RigHost implements SideDoor {
  readonly options: CompleteRigOptions;
  readonly population: Population;
  readonly traits: RigTraits;
  private readonly clock: Clock;
  private readonly rigClock: RigClock;
  private readonly random: Random;
  private readonly film: FilmCuts;
  private readonly bench: Bench;
  private readonly machine: Machine;
  private readonly meter: Meter;
  private readonly executed: Execution[] = [];
  private readonly onPlugChange: (pluggedIn: boolean) => void;
  private ways: { readonly toRig: DisturbedWay; readonly toStation: DisturbedWay } | null = null;
  private loaded: Specimen | null = null;
  private loads = 0;
  private session = 0;
  private lastLineUs = 0;
  private pluggedIn = true;
  private autoNext: boolean;
  private disturbance: Disturbance;
  private cables = 0;

  constructor(options: RigOptions, clock: Clock, onPlugChange: (pluggedIn: boolean) => void) {
    this.options = completeOptions(options);
    this.clock = clock;
    this.onPlugChange = onPlugChange;
    const { parameters, seed, timeFactor, disturbance } = this.options;
    this.autoNext = this.options.autoNext;
    this.disturbance = disturbance;
    this.population = makePopulation(this.options, parameters);
    this.random = new Random(seed).sub('rig');
    this.film = new FilmCuts(this.population, new Random(seed).sub('tool'), parameters.tool);
    this.traits = drawTraits(parameters, this.random.sub('traits'));
    this.rigClock = new RigClock(clock, timeFactor);
    const assembled = assembleBench(parameters, this.traits, this.random, disturbance.baud !== null);
    this.bench = assembled.bench;
    this.meter = assembled.meter;
    this.load(0);
    this.machine = new Machine(
      this.bench,
      this.rigClock,
      this.traits.serial,
      {
        send: (text) => this.ways?.toStation.push(Buffer.from(text, 'latin1')),
        sendSamples: (text) => {
          const way = this.ways?.toStation;
          if (way && way.backlogBytes < sampleBacklogBytes) way.push(Buffer.from(text, 'latin1'));
        },
      },
      {
        onValidLine: () => {
          this.lastLineUs = this.rigClock.nowUs();
        },
        onSession: () => {
          this.session++;
        },
        onExecuted: (number, word) => this.executed.push({ session: this.session, number, word }),
        onParked: () => {
          if (this.autoNext) this.changeFader();
        },
      },
    );
  }

  /** Connects a cable; what comes back takes the station's bytes. An older cable is cut. */
  connect(cable: Cable): (bytes: Buffer) => void {
    this.disconnect();
    const { disturbance } = this;
    const lines = new LineCollector((line) => this.machine.receive(line));
    const random = this.random.sub('line', this.cables++);
    const toRig = new DisturbedWay(this.clock, random.sub('in'), disturbance, (bytes) => lines.push(bytes));
    const toStation = new DisturbedWay(this.clock, random.sub('out'), disturbance, (bytes) => cable.toStation(bytes));
    this.ways = { toRig, toStation };
    return (bytes) => toRig.push(bytes);
  }

  disconnect(): void {
    this.ways?.toRig.sever();
    this.ways?.toStation.sever();
    this.ways = null;
  }

  close(): void {
    this.disconnect();
    this.machine.close();
  }

  load(index: number): { readonly index: number; readonly serial: string } {
    this.mustStand();
    this.stopCutting();
    const specimen = this.specimen(index);
    this.loaded = specimen;
    const filmAt = (atUs: number): Specimen => this.film.specimen(index, atUs);
    this.bench.instrument.load(specimen, this.random.sub('load', this.loads++), filmAt);
    return { index, serial: specimen.serial };
  }

  unload(): void {
    this.mustStand();
    this.stopCutting();
    this.loaded = null;
    this.bench.instrument.load(null, this.random);
  }

  next(): { readonly index: number; readonly serial: string } {
    return this.load(this.loaded ? (this.loaded.index + 1) % this.population.size : 0);
  }

  serialOf(index: number): string {
    this.mustBeInBatch(index);
    return formatSerialNumber(serialInLot(this.population.lot, index));
  }

  serials(): readonly string[] {
    return Array.from({ length: this.population.size }, (_, index) => this.serialOf(index));
  }

  setGuard(closed: boolean): void {
    const changed = this.bench.state.guardClosed !== closed;
    this.bench.state.guardClosed = closed;
    if (changed) this.machine.interlocksChanged();
  }

  setEmergencyStop(released: boolean): void {
    const changed = this.bench.state.emergencyStopReleased !== released;
    this.bench.state.emergencyStopReleased = released;
    if (changed) this.machine.interlocksChanged();
  }

  setClamp(closed: boolean): void {
    const changed = this.bench.state.clampClosed !== closed;
    this.bench.state.clampClosed = closed;
    this.bench.instrument.setConnected(closed);
    if (changed) this.machine.interlocksChanged();
  }

  fitDivider(lossDb: 20 | 40 | 60 | null): void {
    this.bench.instrument.fitDivider(lossDb === null ? null : { totalOhm: 10_000, ratio: 10 ** (-lossDb / 20) });
  }

  setAutoNext(on: boolean): void {
    this.autoNext = on;
  }

  setStationFault(fault: StationFault, on: boolean): void {
    const { meter, carriage } = this.options.parameters;
    if (fault === 'meterGain') this.meter.extraGain = on ? meter.gainFault : 0;
    else if (fault === 'meterOffset') this.meter.extraOffsetUv = on ? meter.offsetFaultUv : 0;
    else if (fault === 'positionScale') this.bench.fixture.extraScale = on ? carriage.positionScaleFault : 0;
    else if (on) this.bench.fixture.loseSteps(carriage.lostStepsMm);
    else this.bench.fixture.loseSteps(-carriage.lostStepsMm);
  }

  setDisturbance(change: Partial<Disturbance>): void {
    this.disturbance = { ...this.disturbance, ...change };
    for (const way of this.ways ? [this.ways.toRig, this.ways.toStation] : []) way.disturbance = this.disturbance;
  }

  unplug(): void {
    if (!this.pluggedIn) return;
    this.pluggedIn = false;
    this.disconnect();
    this.onPlugChange(false);
  }

  plug(): void {
    if (this.pluggedIn) return;
    this.pluggedIn = true;
    this.onPlugChange(true);
  }

  restart(): void {
    this.machine.restart();
  }

  certificate(madeAt: string, dueAt: string): Certificate {
    return certify(this.traits, this.options.parameters, madeAt, dueAt, this.random.sub('certificate'));
  }

  applyCuts(index: number, cuts: readonly ToolCut[], toolId: string): void {
    this.mustBeInBatch(index);
    this.mustStand();
    this.film.apply(index, cuts, toolId);
  }

  startCutting(index: number, cut: ToolCut, toolId: string, rateMmPerS: number): void {
    this.mustBeInBatch(index);
    this.mustStand();
    this.film.start(index, cut, toolId, rateMmPerS, this.rigClock.nowUs());
  }

  stopCutting(): number | null {
    return this.film.stop(this.rigClock.nowUs());
  }

  truth(index: number, travelsMm: readonly number[]): FaderTruth {
    return faderTruth(this.specimen(index), this.film.cutsOf(index), travelsMm);
  }

  moment(): RigMoment {
    const { carriage, state } = this.bench;
    const clockUs = this.rigClock.nowUs();
    return {
      clockUs,
      positionUm: carriage.positionUm(clockUs),
      speedUmPerS: carriage.speedUmPerS(clockUs),
      moving: carriage.isMoving(clockUs),
      powered: state.powered,
      homed: state.homed,
      lastLineUs: this.lastLineUs,
      restUs: carriage.restUs,
      guardClosed: state.guardClosed,
      emergencyStopReleased: state.emergencyStopReleased,
      clampClosed: state.clampClosed,
      pluggedIn: this.pluggedIn,
      fader: this.loaded ? { index: this.loaded.index, serial: this.loaded.serial } : null,
      faders: this.population.size,
    };
  }

  executions(): readonly Execution[] {
    return this.executed;
  }

  private specimen(index: number): Specimen {
    this.mustBeInBatch(index);
    return this.film.specimen(index, this.rigClock.nowUs());
  }

  private mustBeInBatch(index: number): void {
    const { size } = this.population;
    if (!Number.isInteger(index) || index < 0 || index >= size)
      throw new SideDoorError('faderUnknown', `There is no fader ${index + 1}; this batch has 1 to ${size}.`);
  }

  private mustStand(): void {
    if (this.bench.carriage.isMoving(this.rigClock.nowUs()))
      throw new SideDoorError('rigMoving', 'The carriage is moving; a fader can be changed when it stands still.');
  }

  /** Guard and clamp open, next fader in, both closed again. */
  private changeFader(): void {
    const nowUs = this.rigClock.nowUs();
    const grips: readonly (() => void)[] = [
      () => {
        this.setGuard(false);
        this.setClamp(false);
      },
      () => void this.next(),
      () => {
        this.setClamp(true);
        this.setGuard(true);
      },
    ];
    grips.forEach((grip, i) => void this.rigClock.at(nowUs + (i + 1) * gripUs, grip));
  }
}
