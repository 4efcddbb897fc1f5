/** The one live needle of a station: opens it for a cut that is asked for, closes it on every way out. */
import type { Archive } from '../archive/archive.ts';
import type { Clock } from '../rig/clock.ts';
import type { Rig } from '../rig/rig.ts';
import type { ToolKind } from '../trim/belief.ts';
import type { Calibration } from '../trust/calibration.ts';
import { BusyMeasuringError } from './errors.ts';
import { findLaw } from './law-desk.ts';
import type { TrimDesk } from './trim-desk.ts';
import { NeedleOpenError, NeedleRefusedError } from './trim-errors.ts';
import { leftOf } from './trim-history.ts';
import { type NeedleSession, openNeedle } from './trim-needle.ts';
import { CellGrowth } from './trim-needle-growth.ts';
import { paced } from './trim-needle-pace.ts';
import type { NeedleReadingView, TrimListener } from './trim-views.ts';

export interface NeedleDeskNeeds {
  readonly archive: Archive;
  readonly clock: Clock;
  readonly rig: () => Rig;
  readonly calibration: () => Calibration | null;
  readonly measuring: () => string | null;
  readonly trim: TrimDesk;
  readonly listener: TrimListener;
}

const cutSentence = 'The cell was cut under it, so its cuts count as made.';

export class NeedleDesk {
  readonly #needs: NeedleDeskNeeds;
  #open: NeedleSession | null = null;
  /** Asked for, not open yet. */
  #opening: { readonly serial: string; readonly cellIndex: number } | null = null;
  /** Why it is to be closed as soon as it is open. */
  #calledOff: string | null = null;

  constructor(needs: NeedleDeskNeeds) {
    this.#needs = needs;
  }

  /** Serial and cell of the open needle; null = closed. */
  get current(): { readonly serial: string; readonly cellIndex: number } | null {
    return this.#open?.order ?? this.#opening;
  }

  /** @throws NeedleOpenError */
  refuseWhileOpen(): void {
    const serial = this.current?.serial ?? null;
    if (serial !== null) throw new NeedleOpenError(serial);
  }

  /** @throws TrimOrderError, NeedleRefusedError, NeedleOpenError, BusyMeasuringError, NoRigError; nothing has moved then */
  async start(text: string, operator: string, cellIndex: number): Promise<void> {
    const { archive, clock, trim, listener } = this.#needs;
    const busy = this.#needs.measuring();
    if (busy !== null) throw new BusyMeasuringError(busy);
    this.refuseWhileOpen();
    const { serial, history } = trim.needleOrder(text, cellIndex);
    const pending = history.passes.at(-1);
    const measured = history.measured.profile?.cells[cellIndex];
    const calibration = this.#needs.calibration();
    if (pending === undefined || measured === undefined) {
      throw new NeedleRefusedError(`The cell was never measured. Measure ${serial} first.`);
    }
    if (calibration === null) throw new NeedleRefusedError('The rig has no calibration, so its needle says nothing.');
    const { plan, toolKind } = pending;
    const order = {
      ...{ serial, cellIndex, toolKind: toolKind as ToolKind, calibration },
      law: findLaw(archive, history.last.lawId, history.last.lawRevision),
      measuredOhm: measured.ohm,
      targetOhm: measured.ohm + (plan.addedOhm[cellIndex] ?? 0) * plan.share,
      nominalTotalOhm: history.measured.profile?.totalOhm ?? 0,
    };
    this.#opening = { serial, cellIndex };
    this.#calledOff = null;
    try {
      const tell = paced(
        () => clock.nowMs(),
        (reading) => listener.needle(reading),
      );
      const growth = new CellGrowth();
      const onReading = (reading: NeedleReadingView): void => {
        // Only what was cut while the needle was seen is not the tool's own doing.
        if (reading.state === 'live') trim.noteNeedle(cellIndex);
        growth.see(reading);
        const isCut = reading.state === 'ended' && growth.isCut;
        tell(isCut ? { ...reading, reason: `${reading.reason ?? ''} ${cutSentence}`.trim() } : reading);
      };
      const session = await openNeedle(order, { port: this.#needs.rig(), clock, onReading });
      this.#open = session;
      if (this.#calledOff !== null) session.stop(this.#calledOff);
      session.ended.then(() => {
        if (this.#open === session) this.#open = null;
        if (growth.isCut) this.#countAsMade(serial, operator, cellIndex);
        listener.changed();
      });
    } finally {
      this.#opening = null;
    }
    listener.changed();
  }

  /** Film is gone that no plan knows of: the cell's cuts must not be offered again before it is measured. */
  #countAsMade(serial: string, operator: string, cellIndex: number): void {
    const { trim, listener } = this.#needs;
    try {
      const pending = trim.needleOrder(serial, cellIndex).history.passes.at(-1);
      const left = pending === undefined ? [] : leftOf(pending).filter((cut) => cut.cellIndex === cellIndex);
      const numbers = left.map(({ number }) => number);
      trim.cutsDone(serial, operator, numbers, false);
    } catch (error) {
      listener.trouble(error);
    }
  }

  /** Resolves when the needle is closed and motor power is off. Fine when none is open. */
  async stop(reason: string): Promise<void> {
    this.#calledOff = reason;
    const session = this.#open;
    session?.stop(reason);
    await session?.ended;
  }
}
