import { type Duplex, duplexPair } from 'node:stream';
import {
  encodeLimitsPage,
  encodeReading,
  encodeStatus,
  formatLine,
  parseLine,
  type WireLimits,
  type WireLine,
  type WireLineDraft,
  type WireStatus,
} from '../../firmware-protocol/codec/index.ts';
import type { Clock } from '../../src/rig/clock.ts';

export const limits: WireLimits = {
  travelMinUm: -2000,
  travelMaxUm: 110_000,
  stepsPerMm: 80,
  speedMaxUmPerS: 200_000,
  accelMaxMmPerS2: 2000,
  jerkMaxMmPerS3: 20_000,
  creepSpeedMaxUmPerS: 15_000,
  homeSpeedUmPerS: 20_000,
  resonanceMilliHz: 25_000,
  dampingPermille: 80,
  integrationMinUs: 100,
  integrationMaxUs: 200_000,
  conversionsMax: 64,
  samplePeriodMinUs: 100,
  fullScaleCounts: 8_388_607,
  seriesReferenceMilliohm: 10_000_000,
  sourceMilliohm: 50_000,
  meterInputKiloohm: 1_000_000,
  watchdogUs: 250_000,
};

/** What the script does with an order or express line; `'default'` lets the rig answer by itself. */
export type Script = (line: WireLine, rig: ScriptedRig) => 'default' | 'handled';

/**
 * A line-level stand-in that answers exactly what a test writes down, for the cases a sound rig never shows. It knows
 * the numbering rules, greets, and answers `beat`, `halt` and `power` from `status`.
 */
export class ScriptedRig {
  readonly stationSide: Duplex;
  readonly received: WireLine[] = [];
  readonly clock: Clock;
  status: WireStatus = {
    positionUm: 0,
    clockUs: 0,
    motion: 'still',
    guardClosed: true,
    emergencyStopReleased: true,
    clampClosed: true,
    lastOrder: 0,
  };
  /** Greeting texts and numbers; a test may change them before connecting. */
  greeting = { texts: { rig: 'bench-1', ser: 'R-0001', fw: '1.0.0' }, fields: { v: 1, sim: 1 } };
  readonly #rigSide: Duplex;
  readonly #script: Script;
  #rest = '';
  #event = 0;

  constructor(clock: Clock, script: Script = () => 'default') {
    const [stationSide, rigSide] = duplexPair();
    this.clock = clock;
    this.stationSide = stationSide;
    this.#rigSide = rigSide;
    this.#script = script;
    rigSide.setEncoding('latin1');
    rigSide.on('data', (text: string) => this.#take(text));
    // The station destroys its end when it closes.
    rigSide.on('error', () => {});
  }

  orders(word: string): WireLine[] {
    return this.received.filter((line) => line.kind === 'order' && line.word === word);
  }

  express(word: string): WireLine[] {
    return this.received.filter((line) => line.kind === 'express' && line.word === word);
  }

  send(draft: WireLineDraft): void {
    this.sendText(formatLine(draft));
  }

  sendText(text: string): void {
    if (!this.#rigSide.destroyed) this.#rigSide.write(text, 'latin1');
  }

  event(word: string, fields: Record<string, number> = {}, number = this.#event++): void {
    this.send({ kind: 'event', number, word, fields });
  }

  answer(to: WireLine, fields: Record<string, number>): void {
    this.send({ kind: 'answer', number: to.number, fields });
  }

  refuse(to: WireLine, code: string, extra: Partial<WireLineDraft> = {}): void {
    this.send({ kind: 'refusal', number: to.number, word: code, ...extra });
  }

  answerStatus(to: WireLine): void {
    this.status = { ...this.status, clockUs: Math.round(this.clock.nowMs() * 1000) };
    this.answer(to, encodeStatus(this.status));
  }

  reading(wiper: readonly number[]): Record<string, number> {
    const track = wiper.map(() => 8_000_000);
    return encodeReading({ wiper, track }, this.status.positionUm, Math.round(this.clock.nowMs() * 1000), false);
  }

  accept(order: WireLine): void {
    this.status = { ...this.status, lastOrder: order.number };
  }

  /** The port vanishes. */
  unplug(): void {
    this.stationSide.destroy();
  }

  #take(text: string): void {
    this.#rest += text;
    for (let end = this.#rest.indexOf('\n'); end !== -1; end = this.#rest.indexOf('\n')) {
      const parsed = parseLine(this.#rest.slice(0, end));
      this.#rest = this.#rest.slice(end + 1);
      if (!parsed.ok) throw new Error(`The station sent a bad line (${parsed.reason}).`);
      this.received.push(parsed.line);
      if (this.#script(parsed.line, this) === 'default') this.answerByDefault(parsed.line);
    }
  }

  answerByDefault(line: WireLine): void {
    if (line.kind === 'order') this.accept(line);
    if (line.word === 'hello') this.send({ kind: 'answer', number: line.number, ...this.greeting });
    else if (line.word === 'limits') this.answer(line, encodeLimitsPage(limits, line.fields.page ?? 0) ?? {});
    else if (line.word === 'visit' || line.word === 'sense' || line.word === 'ohms') {
      this.answer(line, this.reading([4_000_000, 4_000_002]));
    } else this.answerStatus(line);
  }
}
