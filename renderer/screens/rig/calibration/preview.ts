/** What a draft would change, worked out before anything is kept. The same formulas as the core's own. Pure. */
import { lossFromRatio, ratioFromLoss } from '../../../../src/law/decibel.ts';
import type { Calibration } from '../../../../src/trust/calibration.ts';
import {
  CalibrationRefusedError,
  meterFromDividers,
  positionFromGauges,
} from '../../../../src/trust/make-calibration.ts';
import { allDividers, bothGauges, type CalibrationDraft } from './draft.ts';

export interface Change {
  readonly name: string;
  readonly unit: string;
  readonly places: number;
  readonly before: number;
  readonly after: number;
}

/** What the change does to a result: the same piece would read this much differently. */
export interface Effect {
  readonly name: string;
  readonly unit: string;
  readonly places: number;
  readonly difference: number | null;
}

export interface Preview {
  readonly changes: readonly Change[];
  readonly effects: readonly Effect[];
  /** Why this cannot be kept, or null. */
  readonly refusal: string | null;
}

/** @param fullScaleCounts as the rig reports; null = not known, and then only the core judges the offset */
export function previewOf(draft: CalibrationDraft, before: Calibration, fullScaleCounts: number | null): Preview {
  const changes: Change[] = [];
  const effects: Effect[] = [];
  try {
    const gauges = bothGauges(draft);
    if (gauges !== null) {
      const after = positionFromGauges(gauges, before.position);
      changes.push(...positionChanges(before.position, after));
      effects.push(...positionEffects(before.position, after));
    }
    const dividers = allDividers(draft);
    if (dividers !== null) {
      const after = meterFromDividers(dividers, before.meter, fullScaleCounts ?? Number.POSITIVE_INFINITY);
      changes.push(...meterChanges(before.meter, after));
      effects.push(...meterEffects(before.meter, after, dividers[0]?.trackCounts ?? null));
    }
  } catch (error) {
    if (error instanceof CalibrationRefusedError) return { changes, effects, refusal: error.message };
    throw error;
  }
  return { changes, effects, refusal: null };
}

const positionChanges = (before: Calibration['position'], after: Calibration['position']): readonly Change[] => [
  { name: 'Position scale', unit: '', places: 6, before: before.scale, after: after.scale },
  { name: 'Position zero', unit: 'mm', places: 3, before: before.zeroMm, after: after.zeroMm },
];

const meterChanges = (before: Calibration['meter'], after: Calibration['meter']): readonly Change[] => [
  { name: 'Meter gain', unit: '', places: 6, before: before.gain, after: after.gain },
  { name: 'Meter offset', unit: 'counts', places: 1, before: before.offsetCounts, after: after.offsetCounts },
];

/** The travel that a place of the old scale gets by the new one. */
const positionEffects = (before: Calibration['position'], after: Calibration['position']): readonly Effect[] =>
  [0, 100].map((travelMm) => ({
    name: `At ${travelMm} mm`,
    unit: 'mm',
    places: 3,
    difference: ((travelMm - before.zeroMm) / before.scale) * after.scale + after.zeroMm - travelMm,
  }));

/** The loss that a reading of the old calibration gets by the new one. */
const meterEffects = (
  before: Calibration['meter'],
  after: Calibration['meter'],
  trackCounts: number | null,
): readonly Effect[] =>
  [20, 40, 60].map((lossDb) => {
    const track = trackCounts === null ? null : trackCounts - before.trackOffsetCounts;
    const wiper = track === null ? null : before.offsetCounts + ratioFromLoss(lossDb) * track * before.gain;
    const ratio = track === null || wiper === null ? null : (wiper - after.offsetCounts) / (track * after.gain);
    const nextDb = ratio === null || ratio <= 0 ? null : lossFromRatio(ratio);
    return {
      name: `At \u2212${lossDb} dB`,
      unit: 'dB',
      places: 3,
      difference: nextDb === null ? null : nextDb - lossDb,
    };
  });
