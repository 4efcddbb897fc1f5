/** What the verdict works from: raw readings as a run keeps them, and the circumstances of the run. */
import type { Law } from '../law/build.ts';
import type { MeterLimits } from '../trust/apply.ts';
import type { Calibration } from '../trust/calibration.ts';
import type { BudgetLimits } from '../trust/uncertainty.ts';
import type { Zone } from './zones.ts';

/** One raw reading; the archive's and the procedure's records both have this shape. */
export interface JudgedReading {
  readonly purpose: 'point' | 'closed' | 'open' | 'totalResistance';
  readonly pointIndex: number | null;
  readonly direction: 'up' | 'down' | 'still';
  readonly positionUm: number;
  readonly integrationUs: number;
  readonly conversions: number;
  readonly wiperCounts: number;
  readonly wiperSdCounts: number | null;
  readonly trackCounts: number;
  readonly overRange: boolean;
}

export type JudgeLimits = MeterLimits & BudgetLimits;

export interface JudgeInput {
  readonly readings: readonly JudgedReading[];
  readonly law: Law;
  readonly calibration: Calibration | null;
  readonly limits: JudgeLimits;
  readonly rigSerial: string;
  /** When the run was measured, ISO 8601 UTC; decides whether the calibration was due. */
  readonly measuredAtIso: string;
  /** How the run ended; only a completed run can be judged. */
  readonly outcome: 'completed' | 'stopped' | 'void';
  readonly outcomeReason: string | null;
  /** Electrical ends found by the glides, mm; null = not found. Absent = not looked for. */
  readonly ends?: { readonly closedMm: number | null; readonly openMm: number | null };
  /** Where this kind of part has its ends, when known: a fader shifted in the clamp is seen by it. */
  readonly expectedEnds?: { readonly closedMm: number; readonly openMm: number; readonly shiftLimitMm: number };
}

/** Verdict on one law point; the archive's point record. */
export interface JudgedPoint {
  readonly pointIndex: number;
  readonly travelMm: number;
  readonly lawDb: number;
  readonly lowerDb: number;
  readonly upperDb: number | null;
  readonly upDeviationDb: number | null;
  readonly downDeviationDb: number | null;
  readonly deviationDb: number | null;
  readonly uncertaintyDb: number | null;
  readonly playMm: number | null;
  readonly zone: Zone;
  readonly reason: string | null;
}

/** Verdict on one quantity beside the law points; the archive's check record. */
export interface JudgedCheck {
  readonly name: 'closedLoss' | 'openLoss' | 'totalResistance' | 'play';
  readonly unit: 'dB' | 'ohm' | 'mm';
  readonly value: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly uncertainty: number | null;
  readonly zone: Zone;
  readonly reason: string | null;
}

export interface FaderVerdict {
  readonly verdict: Zone;
  /** Why, in plain words. */
  readonly reason: string;
  /** What to do next. */
  readonly nextStep: string;
  readonly points: readonly JudgedPoint[];
  readonly checks: readonly JudgedCheck[];
  /** The point with the largest deviation relative to its limit; null when none could be judged. */
  readonly worstPointIndex: number | null;
  readonly worstDeviationDb: number | null;
}
