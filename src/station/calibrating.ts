/** Calibrations made at the bench: divider readings, gauges, and the record that comes of them. */
import type { Archive } from '../archive/archive.ts';
import type { Rig } from '../rig/rig.ts';
import { applyReading } from '../trust/apply.ts';
import type { Calibration } from '../trust/calibration.ts';
import {
  CalibrationRefusedError,
  type DividerMark,
  type GaugeMark,
  meterFromDividers,
  positionFromGauges,
} from '../trust/make-calibration.ts';

export interface LiveReading {
  readonly positionUm: number;
  readonly travelMm: number | null;
  readonly ratio: number | null;
  readonly lossDb: number | null;
  readonly trackCounts: number;
  readonly wiperCounts: number;
  readonly wiperSdCounts: number | null;
}

/** Whole mains cycles at 50 Hz, five of them. */
const liveOrder = { integrationUs: 20_000, conversions: 5 };
const dividerOrder = { integrationUs: 20_000, conversions: 50 };
/** The dividers' own resistance hardly matters: the meter's input is a hundred thousand times larger. */
const dividerOhm = 10_000;

export async function readNow(rig: Rig, calibration: Calibration | null, order = liveOrder): Promise<LiveReading> {
  const reading = await rig.sense(order);
  const applied =
    calibration === null
      ? { travelMm: null, ratio: null, lossDb: null }
      : applyReading(reading, 'still', calibration, rig.limits, dividerOhm);
  const { positionUm, trackCounts, wiperCounts, wiperSdCounts } = reading;
  return { positionUm, trackCounts, wiperCounts, wiperSdCounts, ...applied };
}

export const readDivider = (rig: Rig, calibration: Calibration | null): Promise<LiveReading> =>
  readNow(rig, calibration, dividerOrder);

export interface CalibrationOrder {
  readonly operator: string;
  readonly gauges: readonly [GaugeMark, GaugeMark] | null;
  readonly dividers: readonly DividerMark[] | null;
  readonly validDays: number;
}

/** Makes the next calibration of this rig and keeps it. @throws CalibrationRefusedError, ArchiveError */
export function makeAndKeep(
  archive: Archive,
  rig: Rig,
  before: Calibration | null,
  order: CalibrationOrder,
  now: Date,
): Calibration {
  if (order.gauges === null && order.dividers === null) {
    throw new CalibrationRefusedError('Nothing was measured: take both gauges, or read all three dividers.');
  }
  if (before === null) {
    throw new CalibrationRefusedError(
      `Rig ${rig.identity.serial} has never been calibrated. Load its certificate first (it says what gauges and dividers cannot: screw, backlash, reference resistor).`,
    );
  }
  const madeAt = now.toISOString();
  const calibration: Calibration = {
    ...before,
    id: `cal-${rig.identity.serial}-${madeAt}`,
    madeAt,
    dueAt: new Date(now.getTime() + order.validDays * 86_400_000).toISOString(),
    source: 'gauges',
    madeBy: order.operator,
    position: order.gauges === null ? before.position : positionFromGauges(order.gauges, before.position),
    meter:
      order.dividers === null
        ? before.meter
        : meterFromDividers(order.dividers, before.meter, rig.limits.fullScaleCounts),
  };
  archive.storeCalibration({ id: calibration.id, data: calibration });
  return calibration;
}
