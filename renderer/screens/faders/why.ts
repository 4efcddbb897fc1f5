/** Why a run got its word: the worst point, its limit, U, and every check with its limits. Pure. */
import type { CheckRecord, PointRecord, RunRecord } from '../../../src/archive/records.ts';
import type { LawData } from '../../../src/law/law.ts';
import { markText } from '../../charts/travel-ticks.ts';
import { dash, numberText, signedText } from '../../format/numbers.ts';

export const checkNames: Readonly<Record<CheckRecord['name'], string>> = {
  closedLoss: 'Closed loss',
  openLoss: 'Open loss',
  totalResistance: 'Track',
  play: 'Play',
};

const unitPlaces: Readonly<Record<CheckRecord['unit'], number>> = { dB: 2, ohm: 0, mm: 3 };

/** `73.30 dB`, or a dash for a gap. */
export function quantityText(value: number | null, unit: CheckRecord['unit']): string {
  return value === null ? dash : `${numberText(value, unitPlaces[unit])} ${unit}`;
}

/** `at least 66.00 dB`, `8000 to 12000 ohm`, `no limit`. */
export function limitText({ lower, upper, unit }: Pick<CheckRecord, 'lower' | 'upper' | 'unit'>): string {
  if (lower !== null && upper !== null) return `${numberText(lower, unitPlaces[unit])} to ${quantityText(upper, unit)}`;
  if (lower !== null) return `at least ${quantityText(lower, unit)}`;
  return upper === null ? 'no limit' : `at most ${quantityText(upper, unit)}`;
}

export const worstPointOf = (run: RunRecord): PointRecord | null =>
  run.worstPointIndex === null ? null : (run.points.find((point) => point.pointIndex === run.worstPointIndex) ?? null);

/** `36.0 mm (mark −25)`. */
export function placeText(law: LawData | null, travelMm: number): string {
  const mark = law?.marks.find((candidate) => Math.abs(candidate.travelMm - travelMm) < 0.05);
  return `${numberText(travelMm, 1)} mm${mark === undefined ? '' : ` (mark ${markText(mark.text)})`}`;
}

/** The limit on the side the deviation lies on; null = there is none. */
export function limitThereDb(point: PointRecord): number | null {
  return (point.deviationDb ?? 0) < 0 ? point.lowerDb : point.upperDb;
}

/** `−0.50 to +0.50 dB`, `from −6.00 dB, any more loss`. */
export function bandText(point: PointRecord): string {
  const lower = signedText(point.lowerDb, 2);
  return point.upperDb === null ? `from ${lower} dB up` : `${lower} to ${signedText(point.upperDb, 2)} dB`;
}

/** How much of its limit a point uses, 1 = all of it; null when it was not measured or has no limit on that side. */
export function shareOfLimit(point: PointRecord): number | null {
  if (point.deviationDb === null) return null;
  const limit = limitThereDb(point);
  return limit === null ? null : point.deviationDb / limit;
}

/** Which points and checks decided the word: those of the worst zone. */
export function decidedBy(run: RunRecord): { readonly points: number; readonly checks: readonly CheckRecord[] } {
  return {
    points: run.points.filter((point) => point.zone === run.verdict).length,
    checks: run.checks.filter((check) => check.zone === run.verdict),
  };
}
