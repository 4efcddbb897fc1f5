/** The bench: one rig, one archive, one fader at a time. Knows what is going on and tells whoever listens. */
import type { Archive } from '../archive/archive.ts';
import { ArchiveBusyError } from '../archive/errors.ts';
import type { RunRecord, RunSummary } from '../archive/records.ts';
import { formatSerialNumber, parseSerialNumber } from '../fader/serial-number.ts';
import type { RunProgress } from '../procedure/progress.ts';
import type { RigEvent } from '../procedure/rig-port.ts';
import { type Clock, systemClock } from '../rig/clock.ts';
import type { FaderVerdict } from '../verdict/readings.ts';
import { BusyMeasuringError, NothingRunningError, UnknownRunError } from './errors.ts';
import { findLaw, storeExamples } from './law-desk.ts';
import { type LivePoint, type RecordedRun, type RunningMeasurement, startMeasurement, summaryOf } from './measuring.ts';
import { rigOfOpening } from './rig-book.ts';
import { RigDesk } from './rig-desk.ts';
import { interruptedRecord } from './run-record.ts';
import { TrimDesk } from './trim-desk.ts';
import { NeedleDesk } from './trim-needle-desk.ts';
import type { TrimGlance, TrimListener } from './trim-views.ts';

export interface MeasureRequest {
  readonly serial: string;
  readonly operator: string;
  readonly lawId: string;
  readonly lawRevision: number | null;
  readonly batch: string | null;
  readonly job: RunRecord['job'];
}

export interface StationListener {
  changed(): void;
  livePoint(point: LivePoint): void;
  recorded(summary: RunSummary, verdict: FaderVerdict): void;
  asked(runId: string, question: string): void;
  rigEvent(event: RigEvent): void;
  trouble(error: unknown): void;
}

export interface StationOptions {
  readonly archive: Archive;
  readonly programVersion: string;
  readonly now: () => Date;
  readonly newId: () => string;
  readonly random16: () => number;
  readonly listener: StationListener;
  readonly trimListener?: Omit<TrimListener, 'changed' | 'trouble'>;
  readonly log: (text: string) => void;
  readonly clock?: Clock;
}

const pick = ({ changed, trouble }: StationListener): Pick<TrimListener, 'changed' | 'trouble'> => ({
  changed,
  trouble,
});

/** How many finished runs can still be waited for. */
const finishedKept = 50;

export class Station {
  readonly archive: Archive;
  readonly rigDesk: RigDesk;
  readonly trim: TrimDesk;
  readonly needle: NeedleDesk;
  readonly #options: StationOptions;
  readonly #clock: Clock;
  readonly #finished = new Map<string, Promise<RecordedRun>>();
  #current: { readonly measurement: RunningMeasurement; progress: RunProgress | null } | null = null;

  constructor(options: StationOptions) {
    this.#options = options;
    this.archive = options.archive;
    this.#clock = options.clock ?? systemClock;
    this.rigDesk = new RigDesk({
      archive: options.archive,
      now: options.now,
      random16: options.random16,
      clock: this.#clock,
      onChange: options.listener.changed,
      onEvent: options.listener.rigEvent,
      log: options.log,
    });
    const { archive, now, log, listener } = options;
    const trimListener = { piece() {}, needle() {}, ...options.trimListener, ...pick(listener) };
    const rig = () => this.rigDesk.rig();
    const measuring = () => this.#current?.measurement.order.serial ?? null;
    this.trim = new TrimDesk({
      ...{ archive, now, rig, measuring, listener: trimListener, log },
      isRigVirtual: () => this.rigDesk.view().identity?.isVirtual === true,
      startRun: (request) => this.start({ ...request, job: 'trim' }),
      runRecorded: (runId) => this.wait(runId),
    });
    this.needle = new NeedleDesk({
      ...{ archive, clock: this.#clock, rig, measuring, trim: this.trim, listener: trimListener },
      calibration: () => this.rigDesk.calibration(),
    });
  }

  /** The piece that is being trimmed; null = none since the station was opened. */
  trimGlance(): TrimGlance | null {
    return this.trim.glance(this.needle.current?.cellIndex ?? null);
  }

  /** Claims the archive, puts the example laws in, and records what an earlier end left unfinished as void. */
  open(): void {
    this.archive.claimStation();
    storeExamples(this.archive);
    for (const opening of this.archive.unfinished()) {
      const rig = rigOfOpening(this.archive, opening);
      this.archive.recordRun(interruptedRecord({ ...opening, rig }, this.#options.now().toISOString()));
      this.#options.log(`run ${opening.runId} of ${opening.serial} was interrupted and is recorded as void`);
    }
    const cutNotMeasured = this.archive.cutNotMeasured();
    this.trim.handsMayBeAt(cutNotMeasured);
    for (const serial of cutNotMeasured) {
      this.#options.log(`${serial} was cut or may have been cut and is not measured yet`);
    }
  }

  /**
   * For whoever only looks or adds a law or a certificate: claims nothing for longer than it takes to do the above.
   * @returns true when another station is at work on this archive, which then sees to it itself
   */
  openBeside(): boolean {
    try {
      this.archive.claimStation(0);
    } catch (error) {
      if (error instanceof ArchiveBusyError) return true;
      throw error;
    }
    this.open();
    this.archive.releaseStation();
    return false;
  }

  get current(): { readonly measurement: RunningMeasurement; readonly progress: RunProgress | null } | null {
    return this.#current;
  }

  /** @throws NoRigError, BusyMeasuringError, SerialNumberError, UnknownLawError, ArchiveError; nothing has moved then. */
  start(request: MeasureRequest): { runId: string; attempt: number } {
    const busy = this.#current?.measurement.order.serial ?? null;
    if (busy !== null) throw new BusyMeasuringError(busy);
    this.needle.refuseWhileOpen();
    const serial = formatSerialNumber(parseSerialNumber(request.serial));
    this.trim.hands.refuseOther(serial);
    const law = findLaw(this.archive, request.lawId, request.lawRevision);
    const port = this.rigDesk.rig();
    const attempt = this.archive.countAttempts(serial, law.id).total + 1;
    const { listener, now, programVersion, newId } = this.#options;
    const order = { runId: newId(), serial, batch: request.batch, job: request.job, operator: request.operator, law };
    const measurement = startMeasurement(order, {
      archive: this.archive,
      port,
      calibration: this.rigDesk.calibration(),
      clock: this.#clock,
      now,
      programVersion,
      onProgress: (progress) => this.#noteProgress(order.runId, progress),
      onLivePoint: listener.livePoint,
      onAsk: (question) => listener.asked(order.runId, question),
    });
    this.#current = { measurement, progress: null };
    this.#options.log(`run ${order.runId} of ${serial} against ${law.id} revision ${law.revision} begins`);
    this.#remember(order.runId, measurement.recorded);
    measurement.recorded.then(
      ({ summary, verdict }) => {
        this.#current = null;
        this.#options.log(`run ${summary.runId} of ${summary.serial} recorded: ${summary.verdict}`);
        listener.recorded(summary, verdict);
        listener.changed();
      },
      (error: unknown) => {
        this.#current = null;
        this.#options.log(`run ${order.runId} could not be recorded: ${String(error)}`);
        listener.trouble(error);
        listener.changed();
      },
    );
    listener.changed();
    return { runId: order.runId, attempt };
  }

  /** Resolves when the run is on disk. @throws UnknownRunError */
  async wait(runId: string): Promise<{ summary: RunSummary; nextStep: string }> {
    const finished = this.#finished.get(runId);
    if (finished !== undefined) {
      const { summary, verdict } = await finished;
      return { summary, nextStep: verdict.nextStep };
    }
    const run = this.archive.run(runId);
    if (run === null) throw new UnknownRunError(runId);
    return { summary: summaryOf(run), nextStep: '' };
  }

  pause(): void {
    if (this.#running().pause()) this.#options.listener.changed();
  }

  resume(): void {
    if (this.#running().resume()) this.#options.listener.changed();
  }

  stop(reason: string): void {
    this.#running().stop(reason);
    this.#options.listener.changed();
  }

  /** Stops what runs, waits until it is recorded, lets the rig go and closes the archive. Idempotent enough to be called on any way out. */
  async close(): Promise<void> {
    await this.needle.stop('The program was closed.');
    const current = this.#current;
    if (current !== null) {
      current.measurement.run?.stop('The program was closed.');
      await current.measurement.recorded.catch((error: unknown) => this.#options.log(`closing: ${String(error)}`));
    }
    await this.rigDesk.disconnect();
    this.archive.close();
  }

  #running() {
    const run = this.#current?.measurement.run ?? null;
    if (run === null) throw new NothingRunningError();
    return run;
  }

  #noteProgress(runId: string, progress: RunProgress): void {
    // The first progress comes before `start` has noted the run.
    if (this.#current?.measurement.order.runId === runId) this.#current.progress = progress;
    this.#options.listener.changed();
  }

  #remember(runId: string, recorded: Promise<RecordedRun>): void {
    this.#finished.set(runId, recorded);
    const oldest = this.#finished.keys().next().value;
    if (this.#finished.size > finishedKept && oldest !== undefined) this.#finished.delete(oldest);
  }
}
