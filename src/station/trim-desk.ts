/**
 * Trimming at the bench: measure, sort, plan, ask for cuts, have them acknowledged, measure again. Every step is on disk
 * before it is told; a piece whose cuts were asked for can only be measured, whatever happened in between.
 */
import type { Archive } from '../archive/archive.ts';
import type { RunRecord } from '../archive/records.ts';
import type { TrimEvent } from '../archive/trim-records.ts';
import { formatSerialNumber, parseSerialNumber } from '../fader/serial-number.ts';
import type { Rig } from '../rig/rig.ts';
import { priorBelief, type ToolKind } from '../trim/belief.ts';
import { cuttingRulesFor } from '../trim/cutting-rules.ts';
import { BusyMeasuringError } from './errors.ts';
import { findLaw } from './law-desk.ts';
import { batchOf, type TrimBatchView } from './trim-batch.ts';
import { conclude } from './trim-conclusion.ts';
import { NotTrimmedError, StillSettlingError, TrimOrderError } from './trim-errors.ts';
import { HandsLock } from './trim-hands.ts';
import { historyOf, leftOf, mustRemeasure, type PieceHistory } from './trim-history.ts';
import { beliefNow } from './trim-planning.ts';
import { sheetOf, type TrimRequest } from './trim-request.ts';
import { readTrimSettings, type TrimSettings, writeTrimSettings } from './trim-settings.ts';
import { renewTool, type ToolRenewal } from './trim-tools.ts';
import { pieceView, unmeasuredView } from './trim-view.ts';
import type { TrimGlance, TrimListener, TrimPieceView } from './trim-views.ts';

export interface TrimNeeds {
  readonly archive: Archive;
  readonly now: () => Date;
  readonly rig: () => Rig;
  readonly isRigVirtual: () => boolean;
  /** Serial of what is measured now. */
  readonly measuring: () => string | null;
  readonly startRun: (request: TrimRequest) => { runId: string; attempt: number };
  /** Resolves when the run is on disk. */
  readonly runRecorded: (runId: string) => Promise<unknown>;
  readonly listener: TrimListener;
  readonly log: (text: string) => void;
}

const followedKept = 50;

export class TrimDesk {
  readonly #needs: TrimNeeds;
  readonly #followed = new Map<string, Promise<TrimPieceView>>();
  /** The piece at the bench as it was last told. */
  #shown: TrimPieceView | null = null;
  #planning = false;
  /** Cuts are being made: nothing may move. */
  readonly hands = new HandsLock();
  #filmSince: string | null = null;
  /** Cells cut under the live needle in the pass at hand. */
  #needleCells = new Set<number>();

  constructor(needs: TrimNeeds) {
    this.#needs = needs;
  }

  settings(): TrimSettings {
    return readTrimSettings(this.#needs.archive);
  }

  writeSettings(change: Partial<TrimSettings>): TrimSettings {
    return writeTrimSettings(this.#needs.archive, change);
  }

  /** A virtual rig began: its tracks are raw, whatever was cut on those of an earlier one under the same serials. */
  virtualFilmIsNew(): void {
    this.#filmSince = this.#needs.now().toISOString();
    const { serial } = this.hands;
    const history = serial === null ? null : this.#history(serial);
    if (history !== null && this.#isOldFilm(history)) this.hands.release(history.last.serial);
  }

  /** The station ended while cuts were made: the hands may still be there. @param serials cut or maybe cut, not measured */
  handsMayBeAt(serials: readonly string[]): void {
    const asked = serials.flatMap((serial) => this.#history(serial) ?? []).filter(({ state }) => state === 'cutsAsked');
    const [newest] = asked.toSorted((a, b) => b.last.at.localeCompare(a.last.at));
    if (newest !== undefined) this.hands.take(newest.last.serial);
  }

  /** A virtual track that has gone with its rig. */
  #isOldFilm({ last }: PieceHistory): boolean {
    const isVirtual = this.#needs.archive.run(last.runId)?.rig?.isVirtual === true;
    return isVirtual && this.#filmSince !== null && last.at < this.#filmSince;
  }

  /** Cuts may have been made since its last measurement: what another job found would not be known here. @throws TrimOrderError */
  refuseOtherJob(text: string): void {
    const serial = formatSerialNumber(parseSerialNumber(text));
    const history = this.#history(serial);
    if (history === null || !mustRemeasure(history) || this.#isOldFilm(history)) return;
    throw new TrimOrderError(
      `${serial} is being trimmed: its cuts were asked for and are not measured yet. Choose the job Trim and measure it there, or give it up there first.`,
    );
  }

  /** Measures a piece: for the first time, or after its cuts. @throws TrimOrderError, StillSettlingError, and what a run refuses */
  start(request: TrimRequest): { runId: string; attempt: number } {
    const serial = formatSerialNumber(parseSerialNumber(request.serial));
    const law = findLaw(this.#needs.archive, request.lawId, request.lawRevision);
    if (cuttingRulesFor(law.id) === null) {
      throw new TrimOrderError(`Nothing is known of how ${law.id} may be cut, so it cannot be trimmed here.`);
    }
    const history = this.#history(serial);
    if (history !== null && mustRemeasure(history)) {
      const { lawId, lawRevision } = history.last;
      if (lawId !== law.id || lawRevision !== law.revision) {
        throw new TrimOrderError(
          `${serial} was cut towards law ${lawId} revision ${lawRevision}: measure it against that law first.`,
        );
      }
    }
    const leftMs = history?.state === 'cutsDone' ? this.#settleLeftMs(history.last.at) : 0;
    if (leftMs > 0) throw new StillSettlingError(serial, Math.ceil(leftMs / 1000));
    const started = this.#needs.startRun({ ...request, serial, lawRevision: law.revision });
    this.hands.release(serial);
    this.#shown = history === null ? null : this.#view(history);
    const followed = this.#needs
      .runRecorded(started.runId)
      .then(() => this.#follow(started.runId, { ...request, serial }));
    // Whoever waits sees the failure; others are told of it as trouble.
    followed.catch((error: unknown) => this.#needs.listener.trouble(error));
    this.#followed.set(started.runId, followed);
    const oldest = this.#followed.keys().next().value;
    if (this.#followed.size > followedKept && oldest !== undefined) this.#followed.delete(oldest);
    return started;
  }

  /** Resolves when the measurement and what follows from it are on disk. */
  async wait(runId: string): Promise<TrimPieceView> {
    const followed = this.#followed.get(runId);
    if (followed !== undefined) return followed;
    const run = this.#needs.archive.run(runId);
    if (run === null) throw new TrimOrderError(`There is no trim run ${runId}.`);
    return this.#viewOf(run.serial);
  }

  piece(serial: string): TrimPieceView | null {
    const history = this.#history(serial);
    return history === null ? null : this.#view(history);
  }

  /** Takes motor power away, then notes that cuts were asked for: from that moment film may be missing. */
  async askCuts(text: string, operator: string): Promise<TrimPieceView> {
    const { serial, history } = this.#needed(text);
    this.#refuseWhileMeasuring();
    if (history.state !== 'planned' || history.plan === null) {
      throw new TrimOrderError(
        mustRemeasure(history)
          ? `The cuts of ${serial} were asked for already. They are asked for once: measure the piece now.`
          : `No cut is planned for ${serial}. Measure it first.`,
      );
    }
    this.hands.refuseOther(serial);
    // Before motor power goes: nothing may begin to move meanwhile.
    this.hands.take(serial);
    try {
      await this.#needs.rig().power(false);
      this.#refuseWhileMeasuring();
      this.#needleCells = new Set();
      this.#add({ ...this.#next(history, operator), state: 'cutsAsked', pass: history.pass + 1, content: {} });
    } catch (error) {
      this.hands.release(serial);
      throw error;
    }
    return this.#tell(serial);
  }

  /**
   * On disk when it returns.
   * @param isSaid a person said so, hands away; false = the program saw it, and the hands may still be there
   * @throws TrimOrderError
   */
  cutsDone(text: string, operator: string, cuts: 'all' | readonly number[], isSaid = true): TrimPieceView {
    const { serial, history } = this.#needed(text);
    const pending = history.passes.at(-1);
    if (history.state !== 'cutsAsked' || pending === undefined) {
      throw new TrimOrderError(`No cut of ${serial} is waiting to be made.`);
    }
    const left = leftOf(pending);
    const done = cuts === 'all' ? left : left.filter(({ number }) => cuts.includes(number));
    if (cuts !== 'all' && done.length !== new Set(cuts).size) {
      const numbers = left.map(({ number }) => number).join(', ');
      throw new TrimOrderError(`The cuts of ${serial} that are left to make are ${numbers}; name only these.`);
    }
    const byNeedle = done.filter(({ cellIndex }) => this.#needleCells.has(cellIndex)).map(({ number }) => number);
    this.#add({
      ...this.#next(history, operator),
      state: 'cutsDone',
      content: { cuts: done.map(({ number }) => number), byNeedle },
    });
    if (isSaid && done.length === left.length) this.hands.release(serial);
    return this.#tell(serial);
  }

  /** The operator gives the piece up. */
  end(text: string, operator: string, reason: string): TrimPieceView {
    const { serial, history } = this.#needed(text);
    this.#refuseWhileMeasuring();
    if (history.end !== null) throw new TrimOrderError(`Trimming of ${serial} has ended already.`);
    this.#add({
      ...this.#next(history, operator),
      state: 'ended',
      content: { sort: null, cause: 'operator', sentence: reason, reasons: [] },
    });
    this.hands.release(serial);
    return this.#tell(serial);
  }

  batch(batch: string): TrimBatchView {
    return batchOf(batch, this.#needs.archive.trimEventsOfBatch(batch));
  }

  /** Nothing that was learnt of this tool on any type of track holds any more. */
  renewTool(renewal: ToolRenewal): void {
    const { archive, now, rig } = this.#needs;
    renewTool(archive, rig().identity.serial, renewal, now().toISOString());
  }

  /** @param needleCell cell of an open needle */
  glance(needleCell: number | null): TrimGlance | null {
    const shown = this.#shown;
    if (shown === null) return null;
    const { serial, state, pass, passLimit } = shown;
    return {
      ...{ serial, state, pass, passLimit, mustRemeasure: shown.mustRemeasure },
      isPlanning: this.#planning,
      settleLeftMs: state === 'cutsDone' ? this.#settleLeftMs(shown.changedAt) : 0,
      needleCell,
    };
  }

  /** What the live needle needs to know. @throws TrimOrderError */
  needleOrder(text: string, cellIndex: number): { serial: string; history: PieceHistory } {
    const { serial, history } = this.#needed(text);
    const pending = history.passes.at(-1);
    if (history.state !== 'cutsAsked' || pending === undefined) {
      throw new TrimOrderError(`No cut of ${serial} is waiting to be made, so there is nothing to watch.`);
    }
    if (!leftOf(pending).some((cut) => cut.cellIndex === cellIndex)) {
      throw new TrimOrderError(`No cut that is left to make lies in cell ${cellIndex + 1} of ${serial}.`);
    }
    return { serial, history };
  }

  noteNeedle(cellIndex: number): void {
    this.#needleCells.add(cellIndex);
  }

  async #follow(runId: string, request: TrimRequest): Promise<TrimPieceView> {
    this.#planning = true;
    this.#needs.listener.changed();
    try {
      const run = this.#needs.archive.run(runId);
      if (run === null) throw new TrimOrderError(`There is no trim run ${runId}.`);
      if (run.outcome === 'completed' && run.verdict !== 'void')
        await conclude(this.#needs.archive, run, request, this.#filmSince, this.#needs.now);
      else this.#needs.log(`trim run ${runId} says nothing of ${run.serial}: it stays where it was`);
      this.#planning = false;
      return this.#tell(run.serial, run);
    } finally {
      this.#planning = false;
      this.#needs.listener.changed();
    }
  }

  #tell(serial: string, run: RunRecord | null = null): TrimPieceView {
    const piece = this.#viewOf(serial, run);
    this.#shown = piece;
    this.#needs.log(`${serial}: ${piece.state}, pass ${piece.pass}`);
    this.#needs.listener.piece(piece);
    this.#needs.listener.changed();
    return piece;
  }

  #viewOf(serial: string, run: RunRecord | null = null): TrimPieceView {
    const history = this.#history(serial);
    if (history !== null) return this.#view(history, run);
    if (run === null) throw new NotTrimmedError(serial);
    const settings = this.settings();
    return unmeasuredView(run, settings, priorBelief(settings.toolKind));
  }

  #view(history: PieceHistory, run: RunRecord | null = null): TrimPieceView {
    const { archive } = this.#needs;
    const { last } = history;
    const kind = last.toolKind as ToolKind;
    const rigSerial = archive.run(last.runId)?.rig?.serial ?? '';
    const stored = archive.toolBeliefs(rigSerial, last.toolId, last.lawId)[0] ?? null;
    const belief = beliefNow(stored, kind, sheetOf(last));
    const voidReason = run !== null && run.runId !== last.runId ? run.verdictReason : null;
    return pieceView(history, this.settings().passLimit, belief, voidReason);
  }

  #history(text: string): PieceHistory | null {
    return historyOf(this.#needs.archive.trimEvents(formatSerialNumber(parseSerialNumber(text))));
  }

  #needed(text: string): { serial: string; history: PieceHistory } {
    const serial = formatSerialNumber(parseSerialNumber(text));
    const history = this.#history(serial);
    if (history === null) throw new NotTrimmedError(serial);
    return { serial, history };
  }

  #next({ last, pass }: PieceHistory, operator: string): Omit<TrimEvent, 'state' | 'content'> {
    const { serial, batch, runId, lawId, lawRevision, toolId, toolKind } = last;
    const at = this.#needs.now().toISOString();
    return { serial, batch, runId, lawId, lawRevision, toolId, toolKind, pass, operator, at };
  }

  #add(event: TrimEvent): void {
    this.#needs.archive.recordTrim([event]);
  }

  #refuseWhileMeasuring(): void {
    const serial = this.#needs.measuring();
    if (serial !== null) throw new BusyMeasuringError(serial);
  }

  /** A virtual film neither warms nor sheds dust. */
  #settleLeftMs(cutAt: string): number {
    if (this.#needs.isRigVirtual()) return 0;
    const sinceMs = this.#needs.now().getTime() - Date.parse(cutAt);
    return Math.max(0, this.settings().settleS * 1000 - Math.max(0, sinceMs));
  }
}
