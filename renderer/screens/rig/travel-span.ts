/** The rig's own travel as fader travel, for drawing. Pure. */
import type { LiveReading } from '../../../src/contract/commands.ts';

export interface TravelSpan {
  readonly fromMm: number;
  readonly toMm: number;
}

/**
 * Shifted by what the calibration makes of the present place; its scale is within 1 % of one, which a drawing does not show.
 * Null while the rig's limits are not known.
 */
export function travelSpan(
  limits: Readonly<Record<string, number>> | null,
  reading: Pick<LiveReading, 'travelMm' | 'positionUm'> | null,
): TravelSpan | null {
  const from = limits?.travelMinUm;
  const to = limits?.travelMaxUm;
  if (from === undefined || to === undefined || to <= from) return null;
  const travelMm = reading?.travelMm ?? null;
  const shiftMm = reading === null || travelMm === null ? 0 : travelMm - reading.positionUm / 1000;
  return { fromMm: from / 1000 + shiftMm, toMm: to / 1000 + shiftMm };
}
