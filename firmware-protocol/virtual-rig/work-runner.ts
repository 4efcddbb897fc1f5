import type { RefusalCode } from '../codec/refusals.ts';
import type { OrderRefusal } from './order-checks.ts';
import { type Bench, beginWork, type Outcome, type Work } from './order-work.ts';
import type { RigClock } from './rig-clock.ts';
import type { LockReason } from './rig-state.ts';
import { Watchdog } from './watchdog.ts';

/** How often a glide hands over its samples, wall time. */
const sampleBatchMs = 4;

export interface WorkReports {
  /** The order is over: its answer fields (null = the status of now) or its refusal. */
  done(number: number, outcome: Outcome | OrderRefusal): void;
  event(word: string, fields: Record<string, number>): void;
  samples(text: string): void;
  parked(): void;
}

/** Carries out one order at a time against the clock, and cuts it short when it must be. */
export class WorkRunner {
  private readonly bench: Bench;
  private readonly clock: RigClock;
  private readonly reports: WorkReports;
  private readonly watchdog: Watchdog;
  private work: { readonly order: Work; readonly number: number; readonly cancel: () => void } | null = null;
  /** An order that waits for standstill. */
  private waiting: { readonly number: number; readonly cancel: () => void } | null = null;
  private cancelTick: (() => void) | null = null;
  private cancelStop: (() => void) | null = null;

  constructor(bench: Bench, clock: RigClock, reports: WorkReports) {
    this.bench = bench;
    this.clock = clock;
    this.reports = reports;
    const { watchdogUs, watchdogMarginUs, carriage } = bench.parameters;
    const brakeMs = (): number =>
      clock.wallMs((bench.carriage.peakSpeedUmPerS / (carriage.accelMaxMmPerS2 * 1000)) * 1e6);
    this.watchdog = new Watchdog(clock, watchdogUs, watchdogMarginUs, brakeMs, (deadlineMs) =>
      this.cutShort('silent', clock.atMs(deadlineMs)),
    );
  }

  get word(): string | null {
    return this.work?.order.word ?? null;
  }

  /** A valid line of the station has come. */
  feedWatchdog(): void {
    this.watchdog.feed();
  }

  /** Runs at standstill; waits only while an order that a new session has dropped still brakes. */
  whenStill(number: number, run: () => void): void {
    const { carriage } = this.bench;
    this.waiting = null;
    if (!carriage.isMoving(this.clock.nowUs())) run();
    else this.waiting = { number, cancel: this.clock.at(carriage.endUs, () => this.whenStill(number, run)) };
  }

  begin(number: number, word: string, fields: Readonly<Record<string, number>>): void {
    const order = beginWork(this.bench, word, fields, this.clock.nowUs());
    const stallUs = this.bench.state.clampClosed ? this.stallAt(order) : null;
    const cancel =
      stallUs === null
        ? this.clock.at(order.doneUs, () => this.complete())
        : this.clock.at(stallUs, () => this.stall(stallUs));
    this.work = { order, number, cancel };
    if (order.moveEndUs > this.clock.nowUs()) this.watchdog.arm();
    if (order.glide) this.tick();
  }

  /** Ends the order in work because of `reason`: braking if it moves, locking motion, answering when it stands. */
  cutShort(reason: LockReason, atUs: number): void {
    const { carriage, state } = this.bench;
    const moving = carriage.isMoving(atUs);
    if (reason === 'silent' && !moving) return;
    if (moving || reason === 'halted') state.lockMotion(reason);
    this.endWaiting(reason);
    if (carriage.isBraking(atUs)) return;
    if (!moving) {
      this.end(reason, atUs);
      return;
    }
    if (this.word === 'home') state.homed = false;
    this.flushSamples(atUs);
    this.brake(atUs);
    this.work?.cancel();
    this.cancelTick?.();
    this.cancelStop = this.clock.at(carriage.endUs, () => {
      const nowUs = this.clock.nowUs();
      carriage.advance(nowUs);
      if (reason === 'silent') this.reports.event('silent', { x: Math.round(carriage.positionUm(nowUs)) });
      this.end(reason, nowUs);
    });
  }

  /** Motor power was cut from outside. */
  powerCut(nowUs: number): void {
    this.brake(nowUs);
    this.endWaiting('estop');
    this.end('estop', nowUs);
  }

  /** Forgets the order without an answer; what moves is braked. */
  drop(nowUs: number): void {
    this.clear();
    this.cancelStop?.();
    this.cancelStop = null;
    this.waiting?.cancel();
    this.waiting = null;
    this.brake(nowUs);
  }

  private complete(): void {
    const { work } = this;
    if (!work) return;
    this.flushSamples(work.order.doneUs);
    this.bench.carriage.advance(work.order.moveEndUs);
    const outcome = work.order.finish();
    this.clear();
    this.reports.done(work.number, outcome);
    if (work.order.word === 'park') this.reports.parked();
  }

  /** Moment at which the fork would be at the end of its yield, or null. */
  private stallAt(order: Work): number | null {
    const { carriage, fixture } = this.bench;
    const [lowUm, highUm] = fixture.freeRangeUm();
    const outside = (us: number): boolean => {
      const um = carriage.positionUm(us);
      return um < lowUm || um > highUm;
    };
    const fromUs = this.clock.nowUs();
    const spanUs = order.moveEndUs - fromUs;
    // A coarse look along the motion, then halving.
    const steps = 50;
    for (let i = 1; spanUs > 0 && i <= steps; i++) {
      let high = fromUs + (spanUs * i) / steps;
      if (!outside(high)) continue;
      let low = fromUs + (spanUs * (i - 1)) / steps;
      for (let k = 0; k < 30; k++) {
        const middle = (low + high) / 2;
        if (outside(middle)) high = middle;
        else low = middle;
      }
      return high;
    }
    return null;
  }

  private stall(atUs: number): void {
    const { carriage, state } = this.bench;
    this.flushSamples(atUs);
    carriage.stopDead(atUs);
    state.homed = false;
    state.lockMotion('stalled');
    this.reports.event('stall', { x: Math.round(carriage.positionUm(atUs)) });
    this.end('stalled', atUs);
  }

  private brake(atUs: number): void {
    const { carriage, parameters } = this.bench;
    if (carriage.isMoving(atUs) && !carriage.isBraking(atUs))
      carriage.brakeAt(atUs, parameters.carriage.accelMaxMmPerS2);
  }

  private end(code: RefusalCode, atUs: number): void {
    const { work } = this;
    if (!work) return;
    this.bench.carriage.advance(atUs);
    this.clear();
    this.reports.done(work.number, { code });
  }

  private endWaiting(code: RefusalCode): void {
    const { waiting } = this;
    if (!waiting) return;
    waiting.cancel();
    this.waiting = null;
    this.reports.done(waiting.number, { code });
  }

  private clear(): void {
    this.work?.cancel();
    this.work = null;
    this.cancelTick?.();
    this.cancelTick = null;
    this.watchdog.disarm();
  }

  private tick(): void {
    this.cancelTick = this.clock.afterWall(sampleBatchMs, () => {
      this.flushSamples(this.clock.nowUs());
      this.tick();
    });
  }

  private flushSamples(untilUs: number): void {
    const text = this.work?.order.glide?.due(untilUs);
    if (text) this.reports.samples(text);
  }
}
