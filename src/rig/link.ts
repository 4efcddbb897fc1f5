import {
  formatLine,
  type WireLine,
  type WireLineDraft,
  type WireLocks,
  type WireSample,
  type WireStatus,
} from '../../firmware-protocol/codec/index.ts';
import { whenAborted } from './abort.ts';
import { type Clock, pause } from './clock.ts';
import { CancelledError, LineLostError, NoAnswerError } from './errors.ts';
import { ExpressLane, type StatusReport } from './express-lane.ts';
import { Heartbeat } from './heartbeat.ts';
import { NotTaken, OrderLane, type OrderRequest } from './order-lane.ts';
import { Receiver } from './receiver.ts';
import { LinkCounters, type LinkStatistics } from './statistics.ts';
import type { Transport } from './transport.ts';

export interface LinkListeners {
  /** `locks`, `stall`, `silent`; each event once, although the line may double it. */
  readonly onEvent: (line: WireLine) => void;
  readonly onSample: (sample: WireSample) => void;
  readonly onReport: (report: StatusReport) => void;
  /** Called once. `restarted`: the rig came up anew in the middle of the session. */
  readonly onLost: (error: LineLostError, restarted: boolean) => void;
}

/** A carriage that is still moving this long after a halt does not obey. */
const HALT_PATIENCE_MS = 5000;
const HALT_POLL_MS = 10;

/**
 * One session over one transport: numbered orders one at a time, express lines beside them, a heartbeat, and an end
 * that comes at once when the line closes, falls silent or the rig restarts. A link that was lost stays lost.
 */
export class Link {
  readonly clock: Clock;
  readonly transport: Transport;
  readonly #listeners: LinkListeners;
  readonly #counters = new LinkCounters();
  readonly #orders: OrderLane;
  readonly #express: ExpressLane;
  readonly #heartbeat: Heartbeat;
  readonly #over = new AbortController();
  #lost: LineLostError | null = null;
  #inSession = false;
  #sent = 0;
  #latest: StatusReport | null = null;
  #queue: Promise<void> = Promise.resolve();

  constructor(transport: Transport, clock: Clock, listeners: LinkListeners) {
    this.clock = clock;
    this.transport = transport;
    this.#listeners = listeners;
    const send = (line: WireLineDraft): void => this.#send(line);
    const nextPlace = (): number => this.#sent + 1;
    this.#orders = new OrderLane({ clock, counters: this.#counters, send, nextPlace });
    this.#express = new ExpressLane({
      clock,
      counters: this.#counters,
      send,
      nextPlace,
      isTaken: (number) => this.#orders.isNear(number),
      onSilence: (forMs) => this.#lose(`nothing valid was heard for ${Math.round(forMs)} ms`),
    });
    this.#heartbeat = new Heartbeat(clock, {
      beat: () => this.#express.send('beat'),
      isUnanswered: () => this.#express.unanswered > 0,
      isOrderInWork: () => this.#orders.inWork,
      isPowered: () => this.#latest === null || this.#latest.status.motion !== 'unpowered',
    });
    const receiver = new Receiver({
      counters: this.#counters,
      onValid: () => this.#express.heard(),
      onSample: (sample) => {
        this.#orders.noteSample();
        this.#listeners.onSample(sample);
      },
      onEvent: (line) => this.#takeEvent(line),
      onReply: (line) => this.#takeReply(line),
    });
    transport.onLine((text) => {
      if (this.#lost !== null) return;
      try {
        receiver.take(text);
      } catch (cause) {
        // A right checksum over nonsense: nothing this rig says can be relied on.
        this.#lose(`the rig sent a line that makes no sense (${text})`, { cause });
      }
    });
    transport.onClosed((reason) => this.#lose(reason));
  }

  /** Latest state heard; how old it is follows from its `sentAtMs`. */
  get latest(): StatusReport | null {
    return this.#latest;
  }

  get lost(): LineLostError | null {
    return this.#lost;
  }

  statistics(): LinkStatistics {
    return this.#counters.snapshot();
  }

  noteMissingSamples(count: number): void {
    this.#counters.samplesMissing += count;
  }

  noteDuplicate(): void {
    this.#counters.duplicatesIgnored += 1;
  }

  /** Before the greeting: its number, after which orders are counted. */
  startNumberingAt(number: number): void {
    this.#orders.startAt(number);
    this.#express.restart((number + 0x8000) % 65_536);
  }

  /** The greeting was answered: heartbeat on, a restart of the rig ends the session from now on. */
  openSession(): void {
    this.#inSession = true;
    this.#heartbeat.start();
  }

  /**
   * One order, after those before it. Resolves with the rig's answer; rejects with RigRefusedError, NoAnswerError,
   * LineLostError, or CancelledError when the signal fired: then the rig was halted and stands still.
   */
  order(request: OrderRequest, signal?: AbortSignal): Promise<WireLine> {
    const result = this.#queue.then(() => this.#carryOut(request, signal));
    this.#queue = result.then(
      () => {},
      () => {},
    );
    return result;
  }

  async #carryOut(request: OrderRequest, signal?: AbortSignal): Promise<WireLine> {
    if (this.#lost !== null) throw this.#lost;
    if (signal?.aborted === true) throw new CancelledError(request.word, { cause: signal.reason });
    this.#express.forget(this.#orders.next);
    const answer = this.#orders.send(request);
    this.#heartbeat.retime();
    const abort = whenAborted(signal);
    try {
      const outcome = await Promise.race([answer, abort.happened]);
      if (outcome !== null) return outcome;
    } catch (error) {
      if (error instanceof NoAnswerError && this.#inSession)
        this.#orders.startAt((await this.#lastOrderAfterHalt()) + 1);
      throw error;
    } finally {
      abort.forget();
    }
    await this.#cancel(answer);
    throw new CancelledError(request.word, { cause: signal?.reason });
  }

  async #cancel(answer: Promise<WireLine>): Promise<void> {
    if (!this.#inSession) {
      await this.close('cancelled while connecting');
      return;
    }
    this.#orders.holdBack();
    this.#orders.resolveHeld(await this.#lastOrderAfterHalt());
    try {
      await answer;
    } catch (error) {
      // Refusals are what a halt leads to; a lost line is worse news than the cancellation.
      if (error instanceof LineLostError) throw error;
      if (error instanceof NoAnswerError) this.#orders.startAt((await this.#lastOrderAfterHalt()) + 1);
      else if (!(error instanceof NotTaken || isRefusal(error))) throw error;
    }
  }

  async #lastOrderAfterHalt(): Promise<number> {
    return (await this.haltUntilStill()).status.lastOrder;
  }

  /** Halts and asks until the rig says that the carriage stands. Rejects with LineLostError. */
  async haltUntilStill(): Promise<StatusReport> {
    const givenUpMs = this.clock.nowMs() + HALT_PATIENCE_MS;
    let report = await this.ask('halt');
    while (report.status.motion === 'moving') {
      if (this.clock.nowMs() > givenUpMs) this.#lose('the rig did not stop when told to');
      await pause(this.clock, HALT_POLL_MS);
      report = await this.ask('beat');
    }
    return report;
  }

  /** One express question, repeated until answered. Rejects with LineLostError. */
  async ask(word: 'beat' | 'halt', signal?: AbortSignal): Promise<StatusReport> {
    if (this.#lost !== null) throw this.#lost;
    if (signal?.aborted === true) throw new CancelledError(word, { cause: signal.reason });
    const done = new AbortController();
    const until = AbortSignal.any([this.#over.signal, done.signal]);
    const abort = whenAborted(signal);
    const lost = whenAborted(this.#over.signal);
    try {
      const outcome = await Promise.race([this.#express.ask(word, until), abort.happened, lost.happened]);
      if (this.#lost !== null) throw this.#lost;
      if (outcome === null) throw new CancelledError(word, { cause: signal?.reason });
      return outcome;
    } finally {
      done.abort();
      abort.forget();
      lost.forget();
    }
  }

  async close(reason = 'closed by the program'): Promise<void> {
    this.#lose(reason);
    await this.transport.close(reason);
  }

  #send(line: WireLineDraft): void {
    const text = formatLine(line);
    this.#sent += 1;
    this.#counters.linesOut += 1;
    try {
      this.transport.write(text);
    } catch (error) {
      // A transport that closes has told so already, and everything pending was ended with it.
      if (!(error instanceof LineLostError)) throw error;
    }
  }

  #takeReply(line: WireLine): void {
    if (line.kind === 'refusal' && line.word === 'asleep' && this.#inSession) this.#restarted();
    else this.#takeAnswer(line);
  }

  #takeAnswer(line: WireLine): void {
    const report = this.#express.take(line);
    if (report !== null) {
      this.#latest = report;
      this.#orders.noteReport(report);
      this.#listeners.onReport(report);
    } else if (line.kind === 'refusal' && line.word === 'turn' && this.#isForOrderInWork(line)) {
      this.#lose('the rig and the program no longer agree on the numbering of orders');
    } else if (!this.#orders.take(line)) {
      this.#counters.duplicatesIgnored += 1;
    }
  }

  #isForOrderInWork(line: WireLine): boolean {
    return this.#inSession && this.#orders.inWork && line.number === this.#orders.next;
  }

  #takeEvent(line: WireLine): void {
    if (line.word !== 'awake') this.#listeners.onEvent(line);
    else if (this.#inSession) this.#restarted();
  }

  /** The state in an order's answer. It is not older than the order, whose sending is `sentAtMs`. */
  noteStatus(status: WireStatus, sentAtMs: number): void {
    this.#latest = { status, sentAtMs, sequence: this.#sent };
    this.#heartbeat.retime();
  }

  noteLocks(locks: WireLocks): void {
    if (this.#latest !== null) this.#latest = { ...this.#latest, status: { ...this.#latest.status, ...locks } };
  }

  #restarted(): void {
    this.#lose('the rig has restarted', { restarted: true });
  }

  #lose(reason: string, { restarted = false, cause }: { restarted?: boolean; cause?: unknown } = {}): void {
    if (this.#lost !== null) return;
    const error = new LineLostError(this.transport.name, reason, cause === undefined ? undefined : { cause });
    this.#lost = error;
    this.#heartbeat.stop();
    this.#orders.fail(error);
    this.#over.abort();
    void this.transport.close(reason);
    this.#listeners.onLost(error, restarted);
  }
}

const isRefusal = (error: unknown): boolean => error instanceof Error && 'refusal' in error;
