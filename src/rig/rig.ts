import {
  ClockUnwrap,
  decodeGlideEnd,
  decodeLocks,
  decodeStatus,
  type WireLine,
  type WireStatus,
} from '../../firmware-protocol/codec/index.ts';
import type {
  GlideOrder,
  GlideResult,
  MeterOrder,
  RawReading,
  RawSample,
  RigEvent,
  RigIdentity,
  RigLimits,
  RigPort,
  RigStatus,
  VisitOrder,
} from '../procedure/rig-port.ts';
import type { Clock } from './clock.ts';
import { type LineLostError, RigRefusedError } from './errors.ts';
import { SampleCollector } from './glide.ts';
import { greet } from './handshake.ts';
import { ensureMayMove, INTERLOCK_FRESH_MS } from './interlocks.ts';
import { Link } from './link.ts';
import type { OrderRequest } from './order-lane.ts';
import type { LinkStatistics } from './statistics.ts';
import { glideFloorUs, homeFloorUs, visitFloorUs } from './timing.ts';
import type { Transport } from './transport.ts';
import { decodeAnswer, meterFields, motionFields, toRawReading, toRigStatus, visitFields } from './wire-fields.ts';

/** A motion cut short because the rig heard too little is repeated this often: its position is still known. */
const SILENT_RETRIES = 2;
/** What a rig may need beside the motion: switching a relay, seeking the switch twice, slack of its own loop. */
const SWITCHING_MS = 50;
const HOMING_EXTRA_MS = 2000;

export interface RigOptions {
  readonly clock: Clock;
  /** Random whole numbers 0..65535; numbering starts at one of them. */
  readonly random16: () => number;
  readonly signal?: AbortSignal;
}

/**
 * Greets the rig at the other end of a transport. Rejects with IncompatibleRigError, NoAnswerError, LineLostError or
 * CancelledError; the transport is closed then.
 */
export async function connectRig(transport: Transport, options: RigOptions): Promise<Rig> {
  return Rig.connect(transport, options);
}

/** A rig over a line. Once the line is lost every call rejects with LineLostError; connect anew over a new transport. */
export class Rig implements RigPort {
  readonly #link: Link;
  readonly #rigClock = new ClockUnwrap();
  readonly #listeners = new Set<(event: RigEvent) => void>();
  #identity: RigIdentity | null = null;
  #limits: RigLimits | null = null;
  #collector: SampleCollector | null = null;

  private constructor(transport: Transport, clock: Clock) {
    this.#link = new Link(transport, clock, {
      onEvent: (line) => this.#takeEvent(line),
      onSample: (sample) => this.#collector?.take(sample),
      onReport: ({ status }) => void this.#rigClock.unwrap(status.clockUs),
      onLost: (error, restarted) => this.#takeLoss(error, restarted),
    });
  }

  static async connect(transport: Transport, { clock, random16, signal }: RigOptions): Promise<Rig> {
    const rig = new Rig(transport, clock);
    try {
      const { identity, limits } = await greet(rig.#link, random16, signal);
      rig.#identity = identity;
      rig.#limits = limits;
      return rig;
    } catch (error) {
      await rig.#link.close('the greeting failed');
      throw error;
    }
  }

  get identity(): RigIdentity {
    return known(this.#identity);
  }

  get limits(): RigLimits {
    return known(this.#limits);
  }

  /** The error that ended the session; null while it lasts. */
  get lost(): LineLostError | null {
    return this.#link.lost;
  }

  statistics(): LinkStatistics {
    return this.#link.statistics();
  }

  /** Latest known state and its age in milliseconds, without asking; null before the first heartbeat. */
  latestStatus(): { readonly status: RigStatus; readonly ageMs: number } | null {
    const latest = this.#link.latest;
    if (latest === null) return null;
    return { status: this.#toStatus(latest.status), ageMs: this.#link.clock.nowMs() - latest.sentAtMs };
  }

  async status(signal?: AbortSignal): Promise<RigStatus> {
    return this.#toStatus((await this.#link.ask('beat', signal)).status);
  }

  async power(on: boolean, signal?: AbortSignal): Promise<void> {
    await this.#orderStatus({ word: 'power', fields: { on: on ? 1 : 0 }, expectedMs: SWITCHING_MS }, signal);
  }

  home(signal?: AbortSignal): Promise<RigStatus> {
    return this.#retryAfterSilence(signal, async () => {
      await this.#ensureMayMove('home', signal);
      const expectedMs = homeFloorUs(this.limits, this.limits.travelMaxUm) / 1000 + HOMING_EXTRA_MS;
      return this.#orderStatus({ word: 'home', fields: {}, expectedMs, endsStill: true }, signal);
    });
  }

  visit(order: VisitOrder, signal?: AbortSignal): Promise<RawReading> {
    return this.#retryAfterSilence(signal, async () => {
      const fromUm = await this.#ensureMayMove('visit', signal);
      const expectedMs = visitFloorUs(this.limits, order, fromUm) / 1000;
      return this.#orderReading({ word: 'visit', fields: visitFields(order), expectedMs }, signal);
    });
  }

  sense(order: MeterOrder, signal?: AbortSignal): Promise<RawReading> {
    return this.#orderReading({ word: 'sense', fields: meterFields(order), expectedMs: meterMs(order) }, signal);
  }

  ohms(order: MeterOrder, signal?: AbortSignal): Promise<RawReading> {
    const expectedMs = meterMs(order) + SWITCHING_MS;
    return this.#orderReading({ word: 'ohms', fields: meterFields(order), expectedMs }, signal);
  }

  /** Not repeated after silence: samples were handed on already. */
  async glide(
    order: GlideOrder,
    onSamples: (batch: readonly RawSample[]) => void,
    signal?: AbortSignal,
  ): Promise<GlideResult> {
    const fromUm = await this.#ensureMayMove('glide', signal);
    const consumerFailed = new AbortController();
    const collector = new SampleCollector({
      clock: this.#link.clock,
      rigClock: this.#rigClock,
      deliver: (batch) => {
        try {
          onSamples(batch);
        } catch (error) {
          consumerFailed.abort(error);
        }
      },
      onDuplicate: () => this.#link.noteDuplicate(),
      onMissing: (count) => this.#link.noteMissingSamples(count),
    });
    const either = signal === undefined ? consumerFailed.signal : AbortSignal.any([signal, consumerFailed.signal]);
    try {
      const answer = await this.#link.order(
        {
          word: 'glide',
          fields: { ...motionFields(order), e: Math.round(order.samplePeriodUs) },
          expectedMs: glideFloorUs(order, fromUm) / 1000,
          endsStill: true,
          begins: () => {
            this.#collector = collector;
          },
        },
        either,
      );
      const end = decodeAnswer('glide', () => decodeGlideEnd(answer.fields));
      collector.end(end.samplesSent);
      consumerFailed.signal.throwIfAborted();
      return {
        positionUm: end.positionUm,
        rigClockUs: this.#rigClock.unwrap(end.clockUs),
        samplesSent: end.samplesSent,
        samplesReceived: collector.received,
        trackCounts: end.trackMean,
      };
    } catch (error) {
      collector.flush();
      // The consumer's own error is the cause; the cancellation only followed from it.
      consumerFailed.signal.throwIfAborted();
      throw error;
    } finally {
      if (this.#collector === collector) this.#collector = null;
    }
  }

  /**
   * Jogging: slowly to a position, guard and clamp may be open. Never repeated by the program, somebody's hands may be
   * near.
   */
  async creep(targetUm: number, speedUmPerS: number, signal?: AbortSignal): Promise<RigStatus> {
    const fromUm = await this.#ensureMayMove('creep', signal);
    const expectedMs = (Math.abs(targetUm - fromUm) / speedUmPerS) * 1000 + 100;
    const fields = { x: Math.round(targetUm), v: Math.round(speedUmPerS) };
    return this.#orderStatus({ word: 'creep', fields, expectedMs, endsStill: true }, signal);
  }

  park(signal?: AbortSignal): Promise<RigStatus> {
    return this.#retryAfterSilence(signal, async () => {
      await this.#ensureMayMove('park', signal);
      const expectedMs = homeFloorUs(this.limits, this.limits.travelMaxUm) / 1000 + SWITCHING_MS;
      return this.#orderStatus({ word: 'park', fields: {}, expectedMs, endsStill: true }, signal);
    });
  }

  async halt(): Promise<RigStatus> {
    return this.#toStatus((await this.#link.haltUntilStill()).status);
  }

  onEvent(listener: (event: RigEvent) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** Ends the session and frees the port. A carriage in motion is stopped by the rig's watchdog: halt first. */
  close(): Promise<void> {
    return this.#link.close();
  }

  /** Resolves with the position the motion starts from. */
  async #ensureMayMove(word: string, signal?: AbortSignal): Promise<number> {
    const latest = this.#link.latest;
    const isFresh = latest !== null && this.#link.clock.nowMs() - latest.sentAtMs < INTERLOCK_FRESH_MS;
    const { status } = isFresh && this.#link.lost === null ? latest : await this.#link.ask('beat', signal);
    ensureMayMove(word, status);
    return status.positionUm;
  }

  async #retryAfterSilence<T>(signal: AbortSignal | undefined, motion: () => Promise<T>): Promise<T> {
    for (let retry = 0; ; retry += 1) {
      try {
        return await motion();
      } catch (error) {
        const wasSilent = error instanceof RigRefusedError && error.refusal === 'silent';
        if (!wasSilent || retry >= SILENT_RETRIES) throw error;
        await this.power(true, signal);
      }
    }
  }

  async #orderStatus(request: OrderRequest, signal?: AbortSignal): Promise<RigStatus> {
    const sentAtMs = this.#link.clock.nowMs();
    const answer = await this.#link.order(request, signal);
    const status = decodeAnswer(request.word, () => decodeStatus(answer.fields));
    this.#link.noteStatus(status, sentAtMs);
    return this.#toStatus(status);
  }

  async #orderReading(request: OrderRequest, signal?: AbortSignal): Promise<RawReading> {
    const answer = await this.#link.order(request, signal);
    return decodeAnswer(request.word, () => toRawReading(answer.fields, this.#rigClock));
  }

  #toStatus(status: WireStatus): RigStatus {
    return toRigStatus(status, this.#rigClock);
  }

  #takeEvent(line: WireLine): void {
    if (line.word === 'locks') {
      const interlocks = decodeAnswer('locks', () => decodeLocks(line.fields));
      this.#link.noteLocks(interlocks);
      this.#emit({ kind: 'interlocks', interlocks });
    } else if (line.word === 'stall' || line.word === 'silent') {
      const positionUm = line.fields.x;
      if (positionUm === undefined) return;
      this.#emit({ kind: line.word === 'stall' ? 'stall' : 'silenceStop', positionUm });
    }
  }

  #takeLoss(error: LineLostError, restarted: boolean): void {
    if (restarted) this.#emit({ kind: 'restarted' });
    this.#emit({ kind: 'lineLost', port: error.port, reason: error.reason });
  }

  /** In a task of its own: a listener that throws must not break the line. */
  #emit(event: RigEvent): void {
    for (const listener of this.#listeners) queueMicrotask(() => listener(event));
  }
}

const meterMs = (order: MeterOrder): number => (order.integrationUs * order.conversions) / 1000;

function known<T>(value: T | null): T {
  if (value === null) throw new Error('The rig was asked for what it is before it was greeted.');
  return value;
}
