import type { ClockUnwrap, WireSample } from '../../firmware-protocol/codec/index.ts';
import type { RawSample } from '../procedure/rig-port.ts';
import type { Clock } from './clock.ts';

const BATCH_MAX = 256;
const BATCH_MS = 20;

export interface CollectorParts {
  readonly clock: Clock;
  readonly rigClock: ClockUnwrap;
  readonly deliver: (batch: readonly RawSample[]) => void;
  readonly onDuplicate: () => void;
  readonly onMissing: (count: number) => void;
}

/** Gathers the samples of one glide: counters made whole, doubled lines dropped, gaps counted, handed on in batches. */
export class SampleCollector {
  readonly #parts: CollectorParts;
  #batch: RawSample[] = [];
  #callOff: (() => void) | null = null;
  #last = -1;
  #received = 0;

  constructor(parts: CollectorParts) {
    this.#parts = parts;
  }

  get received(): number {
    return this.#received;
  }

  take(sample: WireSample): void {
    const { clock, rigClock, onDuplicate, onMissing } = this.#parts;
    const ahead = (sample.counter - (this.#last % 65_536) + 131_072) % 65_536;
    if (ahead === 0 || ahead > 32_768) {
      onDuplicate();
      return;
    }
    if (ahead > 1) onMissing(ahead - 1);
    this.#last += ahead;
    this.#received += 1;
    this.#batch.push({
      counter: this.#last,
      positionUm: sample.positionUm,
      rigClockUs: rigClock.unwrap(sample.clockUs),
      wiperCounts: sample.wiperCounts,
    });
    if (this.#batch.length >= BATCH_MAX) this.flush();
    else this.#callOff ??= clock.after(BATCH_MS, () => this.flush());
  }

  flush(): void {
    this.#callOff?.();
    this.#callOff = null;
    if (this.#batch.length === 0) return;
    const batch = this.#batch;
    this.#batch = [];
    this.#parts.deliver(batch);
  }

  /** The glide is over: samples missing at its end can only be counted now. */
  end(samplesSent: number): void {
    this.flush();
    const missing = samplesSent - 1 - this.#last;
    if (missing > 0) this.#parts.onMissing(missing);
  }
}
