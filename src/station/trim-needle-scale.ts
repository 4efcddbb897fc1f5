/** From streamed ratios to the cell under the tool: how far, how fast, and when to stop. */
import type { Clock } from '../rig/clock.ts';
import {
  addedFromRatio,
  approachOf,
  cuttingRate,
  type NeedleSample,
  type ParkedAt,
  type ParkedCell,
  stopLine,
} from '../trim/needle.ts';
import type { NeedleReadingView } from './trim-views.ts';

export interface NeedleFace {
  readonly startMs: number;
  readonly parkedMm: number;
}

export interface NeedleGoal {
  readonly serial: string;
  readonly cellIndex: number;
  readonly measuredOhm: number;
  readonly targetOhm: number;
}

/** From seeing the line to lifting the tool, s. Common practice for a warned person, no source. */
const reactionS = 0.3;
/** Integration, exchange and screen, s. */
const delayS = 0.1;
/** The rate is that of the last second. */
const rateWindowS = 1;
/** Readings kept for the rate and for the reading at rest. */
const kept = 60;

export class NeedleScale {
  readonly #goal: NeedleGoal;
  readonly #startMs: number;
  readonly #clock: Clock;
  #parkedMm: number;
  #totalOhm: number | null = null;
  #parked: ParkedCell | null = null;
  #at: ParkedAt = 'openSide';
  #rest: number[] = [];
  #samples: NeedleSample[] = [];
  #startOhm: number;
  #uOhm = 0;
  #stopped = false;
  #last: NeedleReadingView;

  constructor(goal: NeedleGoal, { startMs, parkedMm }: NeedleFace, clock: Clock) {
    this.#goal = goal;
    this.#startMs = startMs;
    this.#parkedMm = parkedMm;
    this.#clock = clock;
    this.#startOhm = goal.measuredOhm;
    this.#last = this.#reading('parking', null, null, null, null);
  }

  totalIs(totalOhm: number): void {
    this.#totalOhm = totalOhm;
  }

  parkedAt(cell: ParkedCell, at: ParkedAt, travelMm: number): void {
    this.#parked = cell;
    this.#at = at;
    this.#parkedMm = travelMm;
    this.#startOhm = cell.cellOhm;
  }

  /** A reading before the first cut. */
  atRest(ratio: number): void {
    this.#rest.push(ratio);
    if (this.#rest.length > kept) this.#rest.shift();
  }

  /** From now on it is cut: what was read at rest is the zero and the noise of the needle. */
  begin(): void {
    const parked = this.#parked;
    if (parked === null) return;
    const mean = this.#rest.reduce((sum, ratio) => sum + ratio, 0) / this.#rest.length;
    const variance = this.#rest.reduce((sum, ratio) => sum + (ratio - mean) ** 2, 0) / (this.#rest.length - 1);
    // The reading at rest is the truth of this tap: the arm stands where it stands.
    const sumOhm = mean * parked.totalOhm;
    const belowOhm = this.#at === 'openSide' ? sumOhm - parked.cellOhm : sumOhm;
    this.#parked = { ...parked, belowOhm };
    const perRatio = parked.totalOhm / (this.#at === 'openSide' ? 1 - mean : mean);
    this.#uOhm = Math.sqrt(variance) * perRatio;
  }

  parking(): NeedleReadingView {
    return this.#reading('parking', null, null, null, null);
  }

  waiting(ratio: number | null, reason: string): NeedleReadingView {
    return this.#reading('waiting', reason, ratio, this.#startOhm, null);
  }

  /** @param isGone the reading has been missing for too long */
  live(ratio: number | null, isGone: boolean): NeedleReadingView {
    const parked = this.#parked;
    const added = ratio === null || parked === null ? null : addedFromRatio(parked, this.#at, ratio);
    const nowOhm = added === null || !Number.isFinite(added) ? null : this.#startOhm + added;
    if (nowOhm !== null) this.#samples.push({ atS: this.#clock.nowMs() / 1000, cellOhm: nowOhm });
    if (this.#samples.length > kept) this.#samples.shift();
    const rate = cuttingRate(this.#samples, rateWindowS);
    if (nowOhm !== null && nowOhm >= this.#line(rate)) this.#stopped = true;
    if (isGone) this.#stopped = true;
    const reason = isGone ? 'The reading is gone: take the tool away.' : null;
    return this.#reading(this.#stopped ? 'stop' : 'live', reason, ratio, nowOhm, rate);
  }

  closed(reason: string): NeedleReadingView {
    return { ...this.#last, state: 'ended', reason, atMs: this.#clock.nowMs() - this.#startMs };
  }

  #line(rateOhmPerS: number | null): number {
    const { targetOhm } = this.#goal;
    return stopLine({ targetOhm, rateOhmPerS: rateOhmPerS ?? 0, reactionS, delayS, uOhm: this.#uOhm });
  }

  #reading(
    state: NeedleReadingView['state'],
    reason: string | null,
    ratio: number | null,
    nowOhm: number | null,
    rateOhmPerS: number | null,
  ): NeedleReadingView {
    const { serial, cellIndex, targetOhm } = this.#goal;
    const stopOhm = this.#line(rateOhmPerS);
    const grown = nowOhm === null ? 0 : nowOhm - this.#startOhm;
    this.#last = {
      ...{ serial, cellIndex, state, reason, parkedMm: this.#parkedMm },
      atMs: Math.max(0, this.#clock.nowMs() - this.#startMs),
      ratio,
      totalOhm: this.#totalOhm === null ? null : this.#totalOhm + grown,
      startOhm: this.#startOhm,
      nowOhm,
      targetOhm,
      stopOhm,
      approach: nowOhm === null ? null : approachOf(this.#startOhm, stopOhm, nowOhm),
      rateOhmPerS,
      stop: this.#stopped,
      over: nowOhm !== null && nowOhm > targetOhm,
    };
    return this.#last;
  }
}
