import type { Random } from '../../src/fader/random.ts';
import type { Clock } from './clock.ts';

/** What a bad line does. All chances are per line or per byte, each direction on its own. */
export interface Disturbance {
  /** One byte in so many is replaced by another; 0 = none. */
  readonly corruptOneIn: number;
  /** Share of lines lost whole. */
  readonly dropLines: number;
  /** Share of lines that come twice. */
  readonly duplicateLines: number;
  /** Share of lines held up by `delayMs`; nothing overtakes them. */
  readonly delayLines: number;
  readonly delayMs: number;
  /** Usual delay of every line, ms. */
  readonly latencyMs: readonly [number, number];
  /** Bits per second on the line; null = not paced. */
  readonly baud: number | null;
}

export const cleanLine: Disturbance = {
  corruptOneIn: 0,
  dropLines: 0,
  duplicateLines: 0,
  delayLines: 0,
  delayMs: 0,
  latencyMs: [0, 0],
  baud: null,
};

const bitsPerByte = 10;
const LF = 0x0a;

/** One direction of the line: takes bytes, gives them on later, fewer, more or wrong, never out of order. */
export class DisturbedWay {
  private readonly clock: Clock;
  private readonly random: Random;
  private readonly deliver: (bytes: Buffer) => void;
  private partial: Buffer = Buffer.alloc(0);
  private readonly queue: Buffer[] = [];
  private queuedBytes = 0;
  /** When the paced line is free again, and when the newest bytes arrive. */
  private freeAtMs = 0;
  private lastMs = 0;
  private cut = false;
  disturbance: Disturbance;

  constructor(clock: Clock, random: Random, disturbance: Disturbance, deliver: (bytes: Buffer) => void) {
    this.clock = clock;
    this.random = random;
    this.disturbance = disturbance;
    this.deliver = deliver;
  }

  /** Bytes under way. */
  get backlogBytes(): number {
    return this.queuedBytes;
  }

  push(bytes: Buffer): void {
    let rest = this.partial.length > 0 ? Buffer.concat([this.partial, bytes]) : bytes;
    const out: Buffer[] = [];
    for (let lf = rest.indexOf(LF); lf !== -1; lf = rest.indexOf(LF)) {
      out.push(...this.disturb(rest.subarray(0, lf + 1)));
      rest = rest.subarray(lf + 1);
    }
    // A start of a line waits for its end, unless it is too long to be one.
    if (rest.length > 200) out.push(this.corrupt(rest));
    this.partial = rest.length > 200 ? Buffer.alloc(0) : Buffer.from(rest);
    if (out.length > 0) this.schedule(Buffer.concat(out));
  }

  /** Nothing more arrives, not even what is under way. */
  sever(): void {
    this.cut = true;
  }

  private disturb(line: Buffer): Buffer[] {
    const { dropLines, duplicateLines } = this.disturbance;
    if (dropLines > 0 && this.random.chance(dropLines)) return [];
    const copies = duplicateLines > 0 && this.random.chance(duplicateLines) ? 2 : 1;
    return Array.from({ length: copies }, () => this.corrupt(line));
  }

  private corrupt(line: Buffer): Buffer {
    const { corruptOneIn } = this.disturbance;
    if (corruptOneIn <= 0) return Buffer.from(line);
    const bytes = Buffer.from(line);
    for (let i = 0; i < bytes.length; i++)
      if (this.random.chance(1 / corruptOneIn)) bytes[i] = (bytes[i] ?? 0) ^ this.random.integer(1, 255);
    return bytes;
  }

  private schedule(bytes: Buffer): void {
    const { latencyMs, baud, delayLines, delayMs } = this.disturbance;
    const nowMs = this.clock.nowMs();
    const heldMs = delayLines > 0 && this.random.chance(delayLines) ? delayMs : 0;
    const sentMs = baud === null ? 0 : (bytes.length * bitsPerByte * 1000) / baud;
    this.freeAtMs = Math.max(nowMs, this.freeAtMs) + sentMs;
    this.lastMs = Math.max(this.lastMs, this.freeAtMs + this.random.uniform(...latencyMs) + heldMs);
    this.queue.push(bytes);
    this.queuedBytes += bytes.length;
    // Whichever timer fires first delivers the oldest bytes: timers due together may swap, bytes may not.
    this.clock.after(this.lastMs - nowMs, () => {
      const first = this.queue.shift();
      if (!first) return;
      this.queuedBytes -= first.length;
      if (!this.cut) this.deliver(first);
    });
  }
}
