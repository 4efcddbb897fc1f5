import { encodeLimitsPage } from '../codec/limits.ts';
import { formatLine, parseLine, type WireLine } from '../codec/line.ts';
import { OrderGate } from '../codec/order-gate.ts';
import { encodeLocks, encodeStatus } from '../codec/status.ts';
import { checkOrder } from '../codec/words.ts';
import { type OrderRefusal, refuseOrder } from './order-checks.ts';
import type { Bench, Outcome } from './order-work.ts';
import type { RigClock } from './rig-clock.ts';
import { WorkRunner } from './work-runner.ts';

export const firmwareVersion = '1.0.0';
export const rigModel = 'bench-1';
const protocolVersion = 1;
const awakeEveryMs = 500;

/** What the controller sends into; samples may be refused when the line is full. */
export interface Sink {
  send(text: string): void;
  /** May drop the samples when the line is full; the gap shows in their counters. */
  sendSamples(text: string): void;
}

export interface MachineHooks {
  /** A line of the station with right checksum and shape has come. */
  onValidLine(): void;
  /** A session was opened; order numbers start again. */
  onSession(): void;
  /** A number was used up and the order is carried out: one call per execution. */
  onExecuted(number: number, word: string): void;
  /** The carriage was parked and motor power is off. */
  onParked(): void;
}

/** The rig's controller, what the firmware would be: session, numbering, states. Physics lives in the bench. */
export class Machine {
  private readonly bench: Bench;
  private readonly clock: RigClock;
  private readonly sink: Sink;
  private readonly hooks: MachineHooks;
  private readonly serial: string;
  private readonly gate = new OrderGate();
  private readonly runner: WorkRunner;
  private cancelAwake: (() => void) | null = null;
  private events = 0;
  private closed = false;

  constructor(bench: Bench, clock: RigClock, serial: string, sink: Sink, hooks: MachineHooks) {
    this.bench = bench;
    this.clock = clock;
    this.serial = serial;
    this.sink = sink;
    this.hooks = hooks;
    this.runner = new WorkRunner(bench, clock, {
      done: (number, outcome) => this.answer(number, outcome),
      event: (word, fields) => this.event(word, fields),
      samples: (text) => sink.sendSamples(text),
      parked: () => hooks.onParked(),
    });
    this.awake();
  }

  get isMoving(): boolean {
    return this.bench.carriage.isMoving(this.clock.nowUs());
  }

  /** One line from the station, without its LF. */
  receive(text: string): void {
    const parsed = parseLine(text);
    if (!parsed.ok || this.closed) return;
    const { line } = parsed;
    const decision = this.gate.admit(line);
    if (decision.act === 'ignore') return;
    this.runner.feedWatchdog();
    this.hooks.onValidLine();
    if (decision.act === 'greet') this.greet(line);
    else if (decision.act === 'execute') this.execute(line);
    else if (decision.act === 'express') this.express(line);
    else if (decision.act === 'repeat') this.sink.send(decision.answer);
    else if (decision.act === 'working') this.sink.send(formatLine({ kind: 'working', number: line.number }));
    else this.sink.send(refusalLine(line.number, { code: decision.code }));
  }

  /** An interlock has changed; its new state is already in the bench. */
  interlocksChanged(): void {
    const { state } = this.bench;
    this.event('locks', encodeLocks(state));
    const nowUs = this.clock.nowUs();
    if (!state.emergencyStopReleased) {
      const wasPowered = state.powered;
      state.powerOff();
      if (wasPowered) this.runner.powerCut(nowUs);
      return;
    }
    const { word } = this.runner;
    if (word === null || word === 'creep' || word === 'sense' || word === 'ohms') return;
    if (!state.guardClosed) this.runner.cutShort('guard', nowUs);
    else if (!state.clampClosed) this.runner.cutShort('clamp', nowUs);
  }

  /** Switched off and on again. */
  restart(): void {
    this.runner.drop(this.clock.nowUs());
    this.bench.state.powerOff();
    this.gate.reset();
    this.events = 0;
    this.cancelAwake?.();
    this.awake();
  }

  close(): void {
    this.closed = true;
    this.cancelAwake?.();
    this.runner.drop(this.clock.nowUs());
  }

  private awake(): void {
    if (this.closed || this.gate.hasSession) return;
    this.event('awake', {});
    this.cancelAwake = this.clock.afterWall(awakeEveryMs, () => this.awake());
  }

  private greet(line: WireLine): void {
    const fault = checkOrder(line);
    if (fault) {
      this.sink.send(refusalLine(line.number, fault));
      return;
    }
    if (line.fields.v !== protocolVersion) {
      const fields = { lo: protocolVersion, hi: protocolVersion };
      this.sink.send(formatLine({ kind: 'refusal', number: line.number, word: 'version', fields }));
      return;
    }
    if (this.isMoving) this.bench.state.lockMotion('halted');
    this.runner.drop(this.clock.nowUs());
    const answer = formatLine({
      kind: 'answer',
      number: line.number,
      fields: { v: protocolVersion, lo: protocolVersion, hi: protocolVersion, sim: 1 },
      texts: { rig: rigModel, ser: this.serial, fw: firmwareVersion },
    });
    this.gate.open(line.number, answer);
    this.hooks.onSession();
    this.sink.send(answer);
  }

  private express(line: WireLine): void {
    const fault = checkOrder(line);
    if (fault) {
      this.sink.send(refusalLine(line.number, fault));
      return;
    }
    const nowUs = this.clock.nowUs();
    const halting = line.word === 'halt';
    const { isMoving } = this;
    if (halting) this.bench.state.lockMotion('halted');
    if (halting && isMoving) this.runner.cutShort('halted', nowUs);
    this.sink.send(formatLine({ kind: 'answer', number: line.number, fields: this.status() }));
    // Halt is answered first, then the order that it ends.
    if (halting && !isMoving) this.runner.cutShort('halted', nowUs);
  }

  private execute(line: WireLine): void {
    const { bench } = this;
    const word = line.word ?? '';
    const refusal = refuseOrder(line, bench.limits, bench.state);
    if (refusal) this.answer(line.number, refusal);
    else if (word === 'limits') {
      const fields = encodeLimitsPage(bench.limits, line.fields.page ?? 0);
      this.answer(line.number, fields ?? { code: 'range', at: 'page' });
    } else {
      this.hooks.onExecuted(line.number, word);
      this.runner.whenStill(line.number, () => this.carryOut(line.number, word, line.fields));
    }
  }

  private carryOut(number: number, word: string, fields: WireLine['fields']): void {
    if (word !== 'power') {
      this.runner.begin(number, word, fields);
      return;
    }
    if (fields.on === 1) this.bench.state.powerOn();
    else this.bench.state.powerOff();
    this.answer(number, null);
  }

  private answer(number: number, outcome: Outcome | OrderRefusal): void {
    const text = isRefusal(outcome)
      ? refusalLine(number, outcome)
      : formatLine({ kind: 'answer', number, fields: outcome ?? this.status() });
    this.gate.finish(text);
    this.sink.send(text);
  }

  private status(): Record<string, number> {
    const nowUs = this.clock.nowUs();
    const { carriage, state } = this.bench;
    carriage.advance(nowUs);
    return encodeStatus({
      positionUm: carriage.positionUm(nowUs),
      clockUs: nowUs,
      motion: state.motion(carriage.isMoving(nowUs)),
      guardClosed: state.guardClosed,
      emergencyStopReleased: state.emergencyStopReleased,
      clampClosed: state.clampClosed,
      lastOrder: this.gate.lastOrder,
    });
  }

  private event(word: string, fields: Record<string, number>): void {
    this.sink.send(formatLine({ kind: 'event', number: this.events, word, fields }));
    this.events = (this.events + 1) % 65_536;
  }
}

function isRefusal(outcome: Outcome | OrderRefusal): outcome is OrderRefusal {
  return outcome !== null && typeof outcome.code === 'string';
}

function refusalLine(number: number, refusal: OrderRefusal): string {
  const texts: Record<string, string> = refusal.at === undefined ? {} : { at: refusal.at };
  return formatLine({ kind: 'refusal', number, word: refusal.code, texts });
}
