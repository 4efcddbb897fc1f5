import {
  decodeReading,
  formatLine,
  parseLine,
  parseSample,
  type WireLine,
  type WireReading,
  type WireSample,
} from '../../../firmware-protocol/codec/index.ts';
import { createVirtualRig, type VirtualRig } from '../../../firmware-protocol/virtual-rig/in-process.ts';
import type { RigOptions } from '../../../firmware-protocol/virtual-rig/options.ts';
import { VirtualClock } from '../../../firmware-protocol/virtual-rig/virtual-clock.ts';
import { testLaw } from './laws.ts';

/** A bare station for tests: one order at a time, a beat while it waits, no repetition. */
export class StationStub {
  readonly clock = new VirtualClock();
  readonly rig: VirtualRig;
  readonly events: WireLine[] = [];
  readonly samples: WireSample[] = [];
  readonly lines: WireLine[] = [];
  private waiting: { readonly number: number; readonly resolve: (line: WireLine) => void } | null = null;
  private buffered = '';
  private beating = true;
  private nextNumber = 1000;

  constructor(options: Partial<RigOptions> = {}) {
    this.rig = createVirtualRig({ law: testLaw, seed: 11, ...options, clock: this.clock });
    this.listen();
    this.beat();
  }

  /** Reads the rig's present port, also after it was plugged in again. */
  listen(): void {
    this.rig.port.on('data', (bytes: Buffer) => this.take(bytes.toString('latin1')));
  }

  /** Sends a line as it is. */
  send(text: string): void {
    this.rig.port.write(text, 'latin1');
  }

  /** Sends the next order and waits for what answers it. */
  async order(word: string, fields: Record<string, number> = {}, copies = 1): Promise<WireLine> {
    const { answer } = this.begin(word, fields, copies);
    return this.clock.runUntil(answer);
  }

  /** Sends the next order; the answer comes when the clock is led on. */
  begin(word: string, fields: Record<string, number> = {}, copies = 1): { answer: Promise<WireLine>; number: number } {
    const number = this.nextNumber++;
    const answer = new Promise<WireLine>((resolve) => {
      this.waiting = { number, resolve };
    });
    const line = formatLine({ kind: 'order', number, word, fields });
    for (let i = 0; i < copies; i++) this.send(line);
    return { answer, number };
  }

  async express(word: 'beat' | 'halt'): Promise<WireLine> {
    const number = 60_000;
    const answer = new Promise<WireLine>((resolve) => {
      this.expressWaiting = resolve;
    });
    this.send(formatLine({ kind: 'express', number, word }));
    return this.clock.runUntil(answer);
  }

  private expressWaiting: ((line: WireLine) => void) | null = null;

  /** Session, motor power, home. */
  async ready(): Promise<void> {
    await this.order('hello', { v: 1 });
    await this.order('power', { on: 1 });
    await this.order('home');
  }

  async visit(x: number, more: Record<string, number> = {}): Promise<WireReading> {
    const fields = { x, v: 200_000, a: 2000, j: 0, up: 1, w: 300_000, t: 20_000, n: 4, ...more };
    const line = await this.order('visit', fields);
    if (line.kind !== 'answer') throw new Error(`visit was refused: ${line.word}`);
    return decodeReading(line.fields);
  }

  /** Falls silent: no beat any more. */
  silence(): void {
    this.beating = false;
  }

  private beat(): void {
    this.clock.after(25, () => {
      if (!this.beating) return;
      if (!this.rig.sideDoor.moment().pluggedIn) return;
      this.send(formatLine({ kind: 'express', number: 1, word: 'beat' }));
      this.beat();
    });
  }

  private take(text: string): void {
    this.buffered += text;
    for (let lf = this.buffered.indexOf('\n'); lf !== -1; lf = this.buffered.indexOf('\n')) {
      this.takeLine(this.buffered.slice(0, lf));
      this.buffered = this.buffered.slice(lf + 1);
    }
  }

  private takeLine(text: string): void {
    const sample = text.startsWith('.') ? parseSample(text) : null;
    if (sample?.ok) {
      this.samples.push(sample.sample);
      return;
    }
    const parsed = parseLine(text);
    if (!parsed.ok) return;
    const { line } = parsed;
    this.lines.push(line);
    if (line.kind === 'event') this.events.push(line);
    if (line.number === 60_000 && this.expressWaiting) {
      this.expressWaiting(line);
      this.expressWaiting = null;
    }
    if ((line.kind === 'answer' || line.kind === 'refusal') && line.number === this.waiting?.number) {
      const { resolve } = this.waiting;
      this.waiting = null;
      resolve(line);
    }
  }
}
