import { parseLine, parseSample, type WireLine, type WireSample } from '../../firmware-protocol/codec/index.ts';
import type { LinkCounters } from './statistics.ts';

export interface ReceiverParts {
  readonly counters: LinkCounters;
  /** Called before the line itself is handed on. */
  readonly onValid: () => void;
  readonly onSample: (sample: WireSample) => void;
  /** An event, once, although the line may double it. */
  readonly onEvent: (line: WireLine) => void;
  /** Answers, refusals and `working`. */
  readonly onReply: (line: WireLine) => void;
}

/** From text to lines that may be trusted: anything with a wrong checksum or form is counted and dropped. */
export class Receiver {
  readonly #parts: ReceiverParts;
  #lastEvent = -1;

  constructor(parts: ReceiverParts) {
    this.#parts = parts;
  }

  take(text: string): void {
    const { counters, onValid, onSample, onReply } = this.#parts;
    counters.linesIn += 1;
    // Samples come by the ten thousand a second and have a reader of their own.
    if (text.startsWith('.')) {
      const parsed = parseSample(text);
      if (!parsed.ok) {
        counters.badLines += 1;
        return;
      }
      onValid();
      onSample(parsed.sample);
      return;
    }
    const parsed = parseLine(text);
    if (!parsed.ok) {
      counters.badLines += 1;
      return;
    }
    onValid();
    if (parsed.line.kind === 'event') this.#takeEvent(parsed.line);
    else onReply(parsed.line);
  }

  #takeEvent(line: WireLine): void {
    if (line.number === this.#lastEvent) {
      this.#parts.counters.duplicatesIgnored += 1;
      return;
    }
    this.#lastEvent = line.number;
    this.#parts.onEvent(line);
  }
}
