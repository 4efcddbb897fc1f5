/** A rig without physics, as small as a firmware's line handling: enough to replay the golden exchanges. */
import {
  approachLegs,
  checkOrder,
  encodeGlideEnd,
  encodeLimitsPage,
  encodeReading,
  encodeStatus,
  formatLine,
  OrderGate,
  parseLine,
  type WireLimits,
  type WireLine,
} from '../../../firmware-protocol/codec/index.ts';

export const someLimits: WireLimits = {
  travelMinUm: -1000,
  travelMaxUm: 106_000,
  stepsPerMm: 80,
  speedMaxUmPerS: 200_000,
  accelMaxMmPerS2: 2000,
  jerkMaxMmPerS3: 100_000,
  creepSpeedMaxUmPerS: 10_000,
  homeSpeedUmPerS: 20_000,
  resonanceMilliHz: 25_000,
  dampingPermille: 80,
  integrationMinUs: 100,
  integrationMaxUs: 200_000,
  conversionsMax: 99,
  samplePeriodMinUs: 100,
  fullScaleCounts: 8_388_607,
  seriesReferenceMilliohm: 10_000_000,
  sourceMilliohm: 50_000,
  meterInputKiloohm: 1_000_000,
  watchdogUs: 250_000,
};

type Lock = 'halted' | 'silent' | 'guard' | 'clamp';

export class ScriptedRig {
  readonly out: string[] = [];
  /** How often each order number was really executed. */
  readonly executions = new Map<number, number>();
  private readonly gate = new OrderGate();
  private locks = { g: 1, e: 1, p: 1 };
  private powered = false;
  private homed = false;
  private lock: Lock | null = null;
  private positionUm = 0;
  private eventNumber = 0;
  private work: { line: WireLine; moves: boolean } | null = null;

  restart(): void {
    this.gate.reset();
    this.work = null;
    this.powered = false;
    this.homed = false;
    this.lock = null;
    this.eventNumber = 0;
    this.event('awake');
  }

  setLocks(locks: { g: number; e: number; p: number }): void {
    this.locks = locks;
    this.event('locks', locks);
    if (locks.e === 0) {
      this.powered = false;
      this.homed = false;
      this.cutShort('estop');
    } else if (this.work?.moves && (locks.g === 0 || locks.p === 0)) {
      this.lock = locks.g === 0 ? 'guard' : 'clamp';
      this.cutShort(this.lock);
    }
  }

  /** Time passes until whatever is in work has ended. */
  settle(): void {
    if (this.work !== null) this.complete(this.work.line);
  }

  /** 250 ms without a line. */
  silence(): void {
    if (!this.work?.moves) return;
    this.lock = 'silent';
    this.event('silent', { x: this.positionUm });
    this.cutShort('silent');
  }

  receive(text: string): void {
    const parsed = parseLine(text);
    if (!parsed.ok) return;
    const line = parsed.line;
    const decision = this.gate.admit(line);
    if (decision.act === 'repeat') this.out.push(decision.answer);
    else if (decision.act === 'working') this.out.push(formatLine({ kind: 'working', number: line.number }));
    else if (decision.act === 'refuse') this.refuse(line.number, decision.code);
    else if (decision.act === 'greet') this.greet(line);
    else if (decision.act === 'express') this.expressLine(line);
    else if (decision.act === 'execute') this.begin(line);
  }

  private greet(line: WireLine): void {
    const fault = checkOrder(line);
    if (fault) {
      this.refuse(line.number, fault.code, fault.at);
      return;
    }
    if (line.fields.v !== 1) {
      this.out.push(formatLine({ kind: 'refusal', number: line.number, word: 'version', fields: { lo: 1, hi: 1 } }));
      return;
    }
    if (this.work?.moves) this.lock = 'halted';
    this.work = null;
    const fields = { v: 1, lo: 1, hi: 1, sim: 1 };
    const texts = { rig: 'bench-1', ser: 'VR0001', fw: '0.0.1' };
    const answer = formatLine({ kind: 'answer', number: line.number, fields, texts });
    this.gate.open(line.number, answer);
    this.out.push(answer);
  }

  private expressLine(line: WireLine): void {
    const fault = checkOrder(line);
    if (fault) {
      this.refuse(line.number, fault.code, fault.at);
      return;
    }
    if (line.word === 'halt' && this.powered) this.lock = 'halted';
    this.out.push(formatLine({ kind: 'answer', number: line.number, fields: this.status() }));
    if (line.word === 'halt') this.cutShort('halted');
  }

  private begin(line: WireLine): void {
    this.executions.set(line.number, (this.executions.get(line.number) ?? 0) + 1);
    const fault = checkOrder(line);
    if (fault) {
      this.end(line.number, fault.code, fault.at);
      return;
    }
    const word = line.word ?? '';
    const { x = 0, page = 0, on = 0, n = 0 } = line.fields;
    if (word === 'limits') {
      const fields = encodeLimitsPage(someLimits, page);
      if (fields === null) this.end(line.number, 'range', 'page');
      else this.answer(line.number, fields);
      return;
    }
    if (word === 'power') {
      if (on === 1 && this.locks.e === 0) {
        this.end(line.number, 'estop');
        return;
      }
      this.homed = this.homed && this.powered && on === 1;
      this.powered = on === 1;
      this.lock = null;
      this.answer(line.number, this.status());
      return;
    }
    if (word === 'sense' || word === 'ohms') {
      this.work = { line, moves: false };
      if (n === 1) this.settle();
      return;
    }
    const refusal = this.motionRefusal(word, x);
    if (refusal !== null) {
      this.end(line.number, refusal);
      return;
    }
    this.work = { line, moves: true };
    if (word !== 'glide') this.settle();
  }

  private motionRefusal(word: string, x: number): string | null {
    if (this.locks.e === 0) return 'estop';
    if (!this.powered) return 'unpowered';
    if (this.lock !== null) return this.lock;
    if (word !== 'home' && !this.homed) return 'unhomed';
    if (word !== 'creep' && this.locks.g === 0) return 'guard';
    if (word !== 'creep' && this.locks.p === 0) return 'clamp';
    return x < someLimits.travelMinUm || x > someLimits.travelMaxUm ? 'travel' : null;
  }

  private complete(line: WireLine): void {
    const { n = 1, x = 0, up = 0 } = line.fields;
    this.work = null;
    if (line.word === 'home') {
      this.homed = true;
      this.positionUm = 0;
    } else if (line.word === 'park') {
      this.powered = false;
      this.homed = false;
    } else if (line.word === 'visit' || line.word === 'glide' || line.word === 'creep') {
      const { travelMinUm, travelMaxUm } = someLimits;
      const legs = approachLegs({
        fromUm: this.positionUm,
        targetUm: x,
        up: up === 1,
        lastUp: null,
        travelMinUm,
        travelMaxUm,
      });
      this.positionUm = line.word === 'visit' ? legs.reduce((sum, leg) => sum + leg, this.positionUm) : x;
    }
    if (line.word === 'glide') {
      const end = { positionUm: x, clockUs: 0, samplesSent: 0, trackMean: 8_000_000 };
      this.answer(line.number, encodeGlideEnd(end));
      return;
    }
    if (line.word === 'visit' || line.word === 'sense' || line.word === 'ohms') {
      const wiper = Array.from({ length: n }, (_, index) => 4_000_000 + (index % 5));
      const track = Array.from({ length: n }, () => 8_000_000);
      this.answer(line.number, encodeReading({ wiper, track }, this.positionUm, 0, false));
      return;
    }
    this.answer(line.number, this.status());
  }

  private status(): Record<string, number> {
    const moving = this.work?.moves === true;
    const standing = this.lock !== null ? 'stopped' : this.homed ? 'still' : 'unhomed';
    const motion = !this.powered ? 'unpowered' : moving ? 'moving' : standing;
    return encodeStatus({
      positionUm: this.positionUm,
      clockUs: 0,
      motion,
      guardClosed: this.locks.g === 1,
      emergencyStopReleased: this.locks.e === 1,
      clampClosed: this.locks.p === 1,
      lastOrder: this.gate.lastOrder,
    });
  }

  private cutShort(code: string): void {
    const cut = this.work;
    this.work = null;
    if (cut !== null) this.end(cut.line.number, code);
  }

  private answer(number: number, fields: Record<string, number>): void {
    this.store(formatLine({ kind: 'answer', number, fields }));
  }

  private end(number: number, code: string, at?: string): void {
    this.store(formatLine({ kind: 'refusal', number, word: code, ...(at === undefined ? {} : { texts: { at } }) }));
  }

  private store(line: string): void {
    this.gate.finish(line);
    this.out.push(line);
  }

  private refuse(number: number, word: string, at?: string): void {
    this.out.push(formatLine({ kind: 'refusal', number, word, ...(at === undefined ? {} : { texts: { at } }) }));
  }

  private event(word: string, fields: Record<string, number> = {}): void {
    this.out.push(formatLine({ kind: 'event', number: this.eventNumber, word, fields }));
    this.eventNumber += 1;
  }
}
