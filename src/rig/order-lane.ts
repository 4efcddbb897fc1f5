import { isRefusalCode, refusals, type WireLine, type WireLineDraft } from '../../firmware-protocol/codec/index.ts';
import type { Clock } from './clock.ts';
import { NoAnswerError, type RigError, RigRefusedError } from './errors.ts';
import type { StatusReport } from './express-lane.ts';
import type { LinkCounters } from './statistics.ts';

export interface OrderRequest {
  readonly word: string;
  readonly fields: Readonly<Record<string, number>>;
  /** What the rig needs from receipt to answer; silence beyond it is suspicious. */
  readonly expectedMs: number;
  /** How long to go on asking after that. Default 1 s. */
  readonly patienceMs?: number;
  /** The order is over once the carriage stands still: a still carriage without answer means a lost answer. */
  readonly endsStill?: boolean;
  /** Called when the order's turn has come, just before it is sent. */
  readonly begins?: () => void;
}

export interface OrderParts {
  readonly clock: Clock;
  readonly counters: LinkCounters;
  readonly send: (line: WireLineDraft) => void;
  /** Place of the next line among all lines sent. */
  readonly nextPlace: () => number;
}

/** Beyond the expected duration before the order is repeated; grows with each repetition. */
const FIRST_REPEAT_MS = 40;
const LAST_REPEAT_MS = 160;
/** After the rig said that it is still working, or busy. */
const WORKING_REPEAT_MS = 100;
const ATTEMPTS_MIN = 8;
/** An order that works three times as long as it should, and this much more, has gone wrong. */
const OVERRUN_MS = 5000;

interface Pending {
  readonly number: number;
  readonly request: OrderRequest;
  readonly startedAtMs: number;
  readonly resolve: (line: WireLine) => void;
  readonly reject: (error: RigError | NotTaken) => void;
  attempts: number;
  /** End of the time in which silence is no reason to give up. */
  quietUntilMs: number;
  sequence: number;
  sentAtMs: number;
  /** Last sample of the order in work: while they come, nothing was lost and the answer queues behind them. */
  sampleAtMs: number;
  repeatMs: number;
  mayRepeat: boolean;
  callOff: () => void;
}

/** A cancelled order that never reached the rig; its number stays free. */
export class NotTaken extends Error {}

/** Numbered orders, one at a time, repeated with the same number until answered; the rig executes each once. */
export class OrderLane {
  readonly #parts: OrderParts;
  #next = 0;
  #pending: Pending | null = null;

  constructor(parts: OrderParts) {
    this.#parts = parts;
  }

  get inWork(): boolean {
    return this.#pending !== null;
  }

  /** Number the next order will have. */
  get next(): number {
    return this.#next;
  }

  startAt(number: number): void {
    this.#next = number % 65_536;
  }

  isNear(number: number): boolean {
    const distance = (number - this.#next + 65_536) % 65_536;
    return distance < 4 || distance > 65_532;
  }

  send(request: OrderRequest): Promise<WireLine> {
    return new Promise((resolve, reject) => {
      const nowMs = this.#parts.clock.nowMs();
      const pending: Pending = {
        number: this.#next,
        request,
        startedAtMs: nowMs,
        resolve,
        reject,
        attempts: 0,
        quietUntilMs: nowMs + request.expectedMs + (request.patienceMs ?? 1000),
        sequence: 0,
        sentAtMs: nowMs,
        sampleAtMs: Number.NEGATIVE_INFINITY,
        repeatMs: FIRST_REPEAT_MS,
        mayRepeat: true,
        callOff: () => {},
      };
      this.#pending = pending;
      request.begins?.();
      this.#repeatAfter(pending, request.expectedMs + FIRST_REPEAT_MS);
      try {
        this.#transmit(pending);
      } catch (error) {
        // The wire forbids the order: nothing was sent, the number stays free.
        this.#drop(pending);
        reject(error);
      }
    });
  }

  #transmit(pending: Pending): void {
    const { number, request } = pending;
    pending.attempts += 1;
    if (pending.attempts > 1) this.#parts.counters.retransmissions += 1;
    pending.sentAtMs = this.#parts.clock.nowMs();
    pending.sequence = this.#parts.nextPlace();
    this.#parts.send({ kind: 'order', number, word: request.word, fields: request.fields });
  }

  #repeatAfter(pending: Pending, delayMs: number): void {
    pending.callOff();
    pending.callOff = this.#parts.clock.after(delayMs, () => this.#overdue(pending));
  }

  #overdue(pending: Pending): void {
    if (this.#pending !== pending) return;
    const nowMs = this.#parts.clock.nowMs();
    const { request, startedAtMs, attempts } = pending;
    const isOverrun = nowMs - startedAtMs > 3 * request.expectedMs + (request.patienceMs ?? 1000) + OVERRUN_MS;
    if (isOverrun || (attempts >= ATTEMPTS_MIN && nowMs >= pending.quietUntilMs)) {
      this.#drop(pending);
      pending.reject(new NoAnswerError(request.word, attempts, nowMs - startedAtMs));
      return;
    }
    const isStreaming = nowMs - pending.sampleAtMs < FIRST_REPEAT_MS;
    if (pending.mayRepeat && !isStreaming) this.#transmit(pending);
    this.#repeatAfter(pending, pending.repeatMs);
    pending.repeatMs = Math.min(pending.repeatMs * 2, LAST_REPEAT_MS);
  }

  #drop(pending: Pending): void {
    pending.callOff();
    this.#pending = null;
  }

  /** True when the line belongs to the order in work. */
  take(line: WireLine): boolean {
    const pending = this.#pending;
    if (pending === null || line.number !== pending.number) return false;
    const refusal = line.kind === 'refusal' ? (line.word ?? '') : null;
    if (line.kind === 'working' || refusal === 'busy') {
      pending.quietUntilMs = this.#parts.clock.nowMs() + (pending.request.patienceMs ?? 1000);
      pending.attempts = Math.min(pending.attempts, 1);
      this.#repeatAfter(pending, WORKING_REPEAT_MS);
      return true;
    }
    this.#drop(pending);
    if (refusal === null || !isRefusalCode(refusal) || refusals[refusal].usesNumber) {
      this.#next = (pending.number + 1) % 65_536;
    }
    if (refusal === null) pending.resolve(line);
    else pending.reject(new RigRefusedError(pending.request.word, refusal, line.texts.at ?? null, line.fields));
    return true;
  }

  /** Compares a state of the rig with the order in work: tells a lost order or a lost answer without waiting. */
  noteReport({ status, sequence }: StatusReport): void {
    const pending = this.#pending;
    if (pending === null || !pending.mayRepeat || sequence < pending.sequence) return;
    const quietMs = this.#parts.clock.nowMs() - Math.max(pending.sentAtMs, pending.sampleAtMs);
    const wasLost = status.lastOrder !== pending.number;
    const answerWasLost =
      pending.request.endsStill === true && status.motion !== 'moving' && quietMs >= WORKING_REPEAT_MS;
    if (wasLost || answerWasLost) this.#transmit(pending);
  }

  noteSample(): void {
    if (this.#pending !== null) this.#pending.sampleAtMs = this.#parts.clock.nowMs();
  }

  /** Before a halt: an order that the rig may not have taken must not be sent again. */
  holdBack(): void {
    if (this.#pending !== null) this.#pending.mayRepeat = false;
  }

  /** After a halt: `lastOrder` says whether the rig had taken the order held back. If so its answer is fetched. */
  resolveHeld(lastOrder: number): void {
    const pending = this.#pending;
    if (pending === null) return;
    if (lastOrder === pending.number) {
      pending.mayRepeat = true;
      this.#transmit(pending);
      this.#repeatAfter(pending, FIRST_REPEAT_MS);
    } else {
      this.#drop(pending);
      pending.reject(new NotTaken());
    }
  }

  /** Ends the order in work with an error that concerns the whole line. */
  fail(error: RigError): void {
    const pending = this.#pending;
    if (pending === null) return;
    this.#drop(pending);
    pending.reject(error);
  }
}
