import {
  decodeStatus,
  type WireLine,
  type WireLineDraft,
  type WireStatus,
} from '../../firmware-protocol/codec/index.ts';
import type { Clock } from './clock.ts';
import type { LinkCounters } from './statistics.ts';

/** A state of the rig and how old it can be at most. */
export interface StatusReport {
  readonly status: WireStatus;
  /** When the question left, so the state is at least as young as this. Milliseconds of the station's clock. */
  readonly sentAtMs: number;
  /** Place of the question among all lines sent. */
  readonly sequence: number;
}

export interface ExpressParts {
  readonly clock: Clock;
  readonly counters: LinkCounters;
  readonly send: (line: WireLineDraft) => void;
  /** Place of the next line among all lines sent. */
  readonly nextPlace: () => number;
  /** True for numbers that answers to orders may carry: express lines must not use them. */
  readonly isTaken: (number: number) => boolean;
  /** Nothing valid was heard for `forMs` although several lines were sent. */
  readonly onSilence: (forMs: number) => void;
}

/**
 * A line is lost when nothing valid came for this long: twice the rig's watchdog, so that the carriage stands by then
 * and a shorter hiccup costs a repeated visit instead of the session...
 */
const SILENCE_MS = 500;
/** ...and this many questions went unanswered, so that a pause of this very program does not count as silence. */
const UNANSWERED_MIN = 4;
const REPEAT_MS = 30;
const PENDING_MAX = 64;

interface Pending {
  readonly sentAtMs: number;
  readonly sequence: number;
  readonly answered: ((report: StatusReport) => void) | null;
}

/** `beat` and `halt`: may be sent at any time, any number of times, and are answered with the state of the rig. */
export class ExpressLane {
  readonly #parts: ExpressParts;
  readonly #pending = new Map<number, Pending>();
  #number = 0;
  #unanswered = 0;
  #firstUnansweredMs = 0;

  constructor(parts: ExpressParts) {
    this.#parts = parts;
  }

  get unanswered(): number {
    return this.#unanswered;
  }

  /** Starts numbering far away from the orders. */
  restart(number: number): void {
    this.#number = number;
    this.#pending.clear();
    this.#unanswered = 0;
  }

  send(word: 'beat' | 'halt', answered: ((report: StatusReport) => void) | null = null): void {
    const { clock, send, nextPlace, isTaken, onSilence } = this.#parts;
    const sentAtMs = clock.nowMs();
    if (this.#unanswered === 0) this.#firstUnansweredMs = sentAtMs;
    const silentMs = sentAtMs - this.#firstUnansweredMs;
    if (this.#unanswered >= UNANSWERED_MIN && silentMs >= SILENCE_MS) {
      onSilence(silentMs);
      return;
    }
    this.#unanswered += 1;
    do this.#number = (this.#number + 1) % 65_536;
    while (isTaken(this.#number));
    // Pending before it is sent: an in-process rig may answer within the call.
    this.#pending.set(this.#number, { sentAtMs, sequence: nextPlace(), answered });
    send({ kind: 'express', number: this.#number, word });
    if (this.#pending.size > PENDING_MAX) {
      for (const oldest of this.#pending.keys()) {
        this.#pending.delete(oldest);
        break;
      }
    }
  }

  /** Sends until answered. Never settles when the line is lost: the link races it against the loss. */
  ask(word: 'beat' | 'halt', until: AbortSignal): Promise<StatusReport> {
    return new Promise((resolve) => {
      let callOff = (): void => {};
      const finish = (report: StatusReport): void => {
        callOff();
        resolve(report);
      };
      const attempt = (): void => {
        if (until.aborted) return;
        callOff = this.#parts.clock.after(REPEAT_MS, attempt);
        this.send(word, finish);
      };
      until.addEventListener('abort', () => callOff(), { once: true });
      attempt();
    });
  }

  /** Any valid line is a sign of life. */
  heard(): void {
    this.#unanswered = 0;
  }

  /** An order is about to use this number: a late answer must not be taken for it. */
  forget(number: number): void {
    this.#pending.delete(number);
  }

  /** The report when the line answers a question of this lane, else null. Throws WireFieldsError on nonsense. */
  take(line: WireLine): StatusReport | null {
    const pending = this.#pending.get(line.number);
    if (pending === undefined || line.kind !== 'answer') return null;
    this.#pending.delete(line.number);
    const { sentAtMs, sequence, answered } = pending;
    const report = { status: decodeStatus(line.fields), sentAtMs, sequence };
    this.#parts.counters.noteRoundTrip(this.#parts.clock.nowMs() - sentAtMs);
    answered?.(report);
    return report;
  }
}
