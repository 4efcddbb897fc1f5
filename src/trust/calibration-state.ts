import type { Calibration } from './calibration.ts';

/** Only `valid` lets a result be judged. */
export type CalibrationState = 'valid' | 'overdue' | 'absent' | 'otherRig';

export interface CalibrationStanding {
  readonly state: CalibrationState;
  /** What is known and what to do, for a person. */
  readonly sentence: string;
}

/**
 * Whether a calibration may be relied on at `nowIso` (ISO 8601) for the rig with `rigSerial`.
 * Dates that cannot be read, or a calibration dated later than now, never count as valid.
 */
export function calibrationState(
  calibration: Calibration | null,
  rigSerial: string,
  nowIso: string,
): CalibrationStanding {
  if (calibration === null) {
    return { state: 'absent', sentence: `Rig ${rigSerial} has no calibration: calibrate it before measuring.` };
  }
  if (calibration.rigSerial !== rigSerial) {
    return {
      state: 'otherRig',
      sentence: `The calibration ${calibration.id} belongs to rig ${calibration.rigSerial}, not to ${rigSerial}: calibrate this rig.`,
    };
  }
  const now = Date.parse(nowIso);
  const made = Date.parse(calibration.madeAt);
  const due = Date.parse(calibration.dueAt);
  if (!Number.isFinite(now) || !Number.isFinite(made) || !Number.isFinite(due)) {
    return {
      state: 'absent',
      sentence: `The dates of calibration ${calibration.id} cannot be read: load its certificate again.`,
    };
  }
  if (now < made) {
    return {
      state: 'absent',
      sentence: `The calibration ${calibration.id} is dated later than now: set this computer's clock, or load the right certificate.`,
    };
  }
  if (now > due) {
    return {
      state: 'overdue',
      sentence: `The calibration was due on ${calibration.dueAt.slice(0, 10)}: calibrate the rig before measuring on.`,
    };
  }
  return { state: 'valid', sentence: `Calibrated; next due on ${calibration.dueAt.slice(0, 10)}.` };
}
