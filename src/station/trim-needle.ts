/**
 * The live needle: the wiper stands beside the cell that is being cut, motor power is off, and the cell's resistance
 * streams in. What the guard must do meanwhile depends on the tool: decision 0007.
 */
import type { Law } from '../law/build.ts';
import { openInterlocks } from '../procedure/point-check.ts';
import type { Interlocks, RawReading, RigPort } from '../procedure/rig-port.ts';
import { createStepBuilder } from '../procedure/step-builder.ts';
import type { Clock } from '../rig/clock.ts';
import { profileFor, profileForVisit } from '../rig/timing.ts';
import type { ToolKind } from '../trim/belief.ts';
import { betterSide, cellFromRatios, type ParkedAt, type ParkedCell } from '../trim/needle.ts';
import { applyReading, totalResistanceOhm } from '../trust/apply.ts';
import type { Calibration } from '../trust/calibration.ts';
import { NeedleRefusedError } from './trim-errors.ts';
import { type NeedleFace, NeedleScale } from './trim-needle-scale.ts';
import type { NeedleReadingView } from './trim-views.ts';

export interface NeedleOrder {
  readonly serial: string;
  readonly cellIndex: number;
  readonly toolKind: ToolKind;
  readonly law: Law;
  readonly calibration: Calibration;
  /** The cell at its last measurement and what this pass wants it to have, ohm. */
  readonly measuredOhm: number;
  readonly targetOhm: number;
  readonly nominalTotalOhm: number;
}

export interface NeedleNeeds {
  readonly port: RigPort;
  readonly clock: Clock;
  readonly onReading: (reading: NeedleReadingView) => void;
}

export interface NeedleSession {
  readonly order: NeedleOrder;
  stop(reason: string): void;
  /** Resolves when the needle is closed; never rejects. */
  readonly ended: Promise<void>;
}

/** Two mains cycles: about 20 readings a second with the exchange. */
const streamOrder = { integrationUs: 20_000, conversions: 2 };
const ohmsOrder = { integrationUs: 20_000, conversions: 10 };
/** Readings at rest before the first cut, for the zero and the noise of the needle. */
const restReadings = 5;
const lineLost = 'The line to the rig was lost.';
/** So many readings without a value are no longer a needle. */
const gapsBorne = 3;

/** A powered tool works behind the closed guard, a hand works under the open one. */
export const guardFor = (kind: ToolKind): 'open' | 'closed' => (kind === 'hand' ? 'open' : 'closed');

/** @throws NeedleRefusedError before anything has moved */
export async function openNeedle(order: NeedleOrder, needs: NeedleNeeds): Promise<NeedleSession> {
  const { interlocks } = await needs.port.status();
  const open = openInterlocks(interlocks);
  if (open !== null) throw new NeedleRefusedError(`${open} The wiper is parked behind the closed guard only.`);
  const ending = new AbortController();
  let why: string | null = null;
  const stop = (reason: string): void => {
    why ??= reason;
    ending.abort();
  };
  const freeOfEvents = needs.port.onEvent((event) => {
    if (event.kind === 'stall' || event.kind === 'silenceStop') stop('The carriage was stopped by the rig.');
    else if (event.kind === 'restarted' || event.kind === 'lineLost') stop(lineLost);
  });
  const face: NeedleFace = { startMs: needs.clock.nowMs(), parkedMm: parkingPlaces(order).firstMm };
  const scale = new NeedleScale(order, face, needs.clock);
  const ended = watch(order, scale, needs, ending.signal)
    .catch(async (error: unknown) => {
      why ??= error instanceof Error ? error.message : String(error);
      // Whatever went wrong, nothing may be left in motion beside a hand.
      await needs.port.halt().catch(() => {});
    })
    .then(async () => {
      freeOfEvents();
      const isOff = await needs.port.power(false).then(
        () => true,
        () => false,
      );
      const reason = why ?? 'The needle was closed.';
      // Without a line the rig's own watchdog takes power away.
      const isDoubtful = !isOff && reason !== lineLost;
      needs.onReading(
        scale.closed(isDoubtful ? `${reason} Motor power may still be on: keep your hands out.` : reason),
      );
    });
  return { order, stop, ended };
}

async function watch(
  order: NeedleOrder,
  scale: NeedleScale,
  { port, onReading }: NeedleNeeds,
  signal: AbortSignal,
): Promise<void> {
  onReading(scale.parking());
  const parked = await parkBeside(order, port, scale, signal);
  signal.throwIfAborted();
  await port.power(false, signal);
  const { motion } = await port.status(signal);
  if (motion !== 'unpowered') throw new NeedleRefusedError('Motor power could not be taken away: keep your hands out.');
  scale.parkedAt(parked.cell, parked.at, parked.travelMm);
  let gaps = 0;
  let rest = 0;
  let live = false;
  while (!signal.aborted) {
    const reading = await port.sense(streamOrder, signal);
    const { interlocks, motion: now } = await port.status(signal);
    if (now !== 'unpowered') throw new NeedleRefusedError('Motor power came back: take your hands out.');
    const trouble = interlockTrouble(interlocks, order.toolKind, live);
    if (trouble !== null) throw new NeedleRefusedError(trouble);
    const ratio = ratioOf(reading, order, port);
    gaps = ratio === null ? gaps + 1 : 0;
    if (!live) {
      if (ratio !== null) {
        rest += 1;
        scale.atRest(ratio);
      }
      const isGuardRight = interlocks.guardClosed === (guardFor(order.toolKind) === 'closed');
      live = rest >= restReadings && isGuardRight;
      if (live) scale.begin();
      else {
        onReading(scale.waiting(ratio, isGuardRight ? 'Keep the tool away a moment longer.' : 'Open the guard.'));
        continue;
      }
    }
    onReading(scale.live(ratio, gaps >= gapsBorne));
  }
}

function interlockTrouble(interlocks: Interlocks, kind: ToolKind, live: boolean): string | null {
  if (!interlocks.emergencyStopReleased) return 'The emergency stop was pressed.';
  if (!interlocks.clampClosed) return 'The clamp was opened.';
  if (guardFor(kind) === 'closed') return interlocks.guardClosed ? null : 'The guard was opened.';
  return live && interlocks.guardClosed ? 'The guard was closed.' : null;
}

interface Parked {
  readonly cell: ParkedCell;
  readonly at: ParkedAt;
  readonly travelMm: number;
}

/** The law points at both ends of the cell; null = an end of the track. */
function parkingPlaces({ cellIndex, law }: NeedleOrder) {
  const low = cellIndex === 0 ? null : cellIndex - 1;
  const high = cellIndex >= law.points.length ? null : cellIndex;
  const firstMm = law.points[high ?? low ?? 0]?.travelMm ?? 0;
  return { low, high, firstMm };
}

/** Reads the cell as it is now from both its ends and the total, then stands where it is seen best. */
async function parkBeside(order: NeedleOrder, port: RigPort, scale: NeedleScale, signal: AbortSignal): Promise<Parked> {
  const { law, calibration } = order;
  const { low, high } = parkingPlaces(order);
  await port.power(true, signal);
  const { positionUm } = await port.home(signal);
  const input = { law, calibration, limits: port.limits, profileFor, profileForVisit };
  const builder = createStepBuilder(input, positionUm, null);
  const ohms = await port.ohms(ohmsOrder, signal);
  const totalOhm = totalResistanceOhm(ohms.trackCounts, calibration, port.limits);
  if (totalOhm === null) throw new NeedleRefusedError('The total resistance cannot be read: look at the plug.');
  scale.totalIs(totalOhm);
  const visit = async (pointIndex: number): Promise<number> => {
    const step = builder.visit(pointIndex, 'up');
    if (step.kind !== 'visit') throw new RangeError('A visit was asked for.');
    const ratio = ratioOf(await port.visit(step.order, signal), order, port);
    if (ratio === null) throw new NeedleRefusedError(`No reading beside the cell, at ${step.tag.targetMm} mm.`);
    return ratio;
  };
  const lowRatio = low === null ? 0 : await visit(low);
  const highRatio = high === null ? 1 : await visit(high);
  const cellOhm = cellFromRatios(lowRatio, highRatio, totalOhm);
  const cell: ParkedCell = { cellOhm, belowOhm: lowRatio * totalOhm, totalOhm };
  const at = high === null ? 'closedSide' : low === null ? 'openSide' : betterSide(cell);
  const pointIndex = at === 'openSide' ? high : low;
  if (at === 'closedSide' && low !== null && high !== null) await visit(low);
  return { cell, at, travelMm: law.points[pointIndex ?? 0]?.travelMm ?? 0 };
}

function ratioOf(reading: RawReading, { calibration, nominalTotalOhm }: NeedleOrder, port: RigPort): number | null {
  return applyReading(reading, 'up', calibration, port.limits, nominalTotalOhm).ratio;
}
