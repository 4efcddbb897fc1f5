/**
 * What the archive keeps: plain records, no behaviour. A run is written once, whole, and never changed.
 * Gaps are `null`, never a plausible number.
 */

export type Job = 'trim' | 'goodsIn' | 'retest' | 'measure';
/** How a run ended; there is no default. */
export type RunOutcome = 'completed' | 'stopped' | 'void';
/** What is known of the fader after the run. `void` = nothing may be said, with the reason. */
export type VerdictWord = 'pass' | 'doubt' | 'fail' | 'void';
export type Direction = 'up' | 'down' | 'still';
/** What the reading was for. */
export type ReadingPurpose = 'point' | 'closed' | 'open' | 'totalResistance';

/** Raw numbers as the rig sent them, and where they came from. */
export interface ReadingRecord {
  readonly sequence: number;
  readonly purpose: ReadingPurpose;
  /** Index into the law's points for `point`, else null. */
  readonly pointIndex: number | null;
  readonly direction: Direction;
  /** Travel asked for (calibrated), mm. */
  readonly targetMm: number;
  readonly positionUm: number;
  readonly rigClockUs: number;
  readonly integrationUs: number;
  readonly conversions: number;
  readonly wiperCounts: number;
  readonly wiperSdCounts: number | null;
  readonly trackCounts: number;
  readonly overRange: boolean;
  /** Calibrated: travel mm, ratio, loss dB. Null where it cannot be computed (over range, ratio <= 0). */
  readonly travelMm: number | null;
  readonly ratio: number | null;
  readonly lossDb: number | null;
}

/** Verdict on one law point (mean of both directions). */
export interface PointRecord {
  readonly pointIndex: number;
  readonly travelMm: number;
  readonly lawDb: number;
  /** Lower and upper deviation limits, dB; upper null = unlimited. */
  readonly lowerDb: number;
  readonly upperDb: number | null;
  readonly upDeviationDb: number | null;
  readonly downDeviationDb: number | null;
  /** Mean of both directions; null = not measured. */
  readonly deviationDb: number | null;
  /** Expanded uncertainty, k = 2, dB. */
  readonly uncertaintyDb: number | null;
  readonly playMm: number | null;
  readonly zone: VerdictWord;
  readonly reason: string | null;
}

/** Verdict on one quantity that is not a law point (closed loss, open loss, total resistance, play). */
export interface CheckRecord {
  readonly name: 'closedLoss' | 'openLoss' | 'totalResistance' | 'play';
  readonly unit: 'dB' | 'ohm' | 'mm';
  readonly value: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly uncertainty: number | null;
  readonly zone: VerdictWord;
  readonly reason: string | null;
}

/** A stretch of glide samples, packed column-wise; gaps in `counter` are gaps on the line. */
export interface TraceRecord {
  readonly purpose: 'closedEnd' | 'openEnd';
  readonly samplePeriodUs: number;
  readonly trackCounts: number;
  readonly counter: Uint32Array;
  readonly positionUm: Int32Array;
  readonly rigClockUs: Float64Array;
  readonly wiperCounts: Int32Array;
}

export interface RunRecord {
  /** UUID made by the station before motion starts. */
  readonly runId: string;
  readonly serial: string;
  readonly batch: string | null;
  readonly job: Job;
  readonly operator: string;
  /** ISO 8601 UTC. */
  readonly startedAt: string;
  readonly endedAt: string;
  readonly outcome: RunOutcome;
  readonly outcomeReason: string | null;
  readonly verdict: VerdictWord;
  readonly verdictReason: string;
  /** Law id and revision; the law itself is stored once in `laws`. */
  readonly lawId: string;
  readonly lawRevision: number;
  readonly calibrationId: string | null;
  readonly rig: {
    readonly model: string;
    readonly serial: string;
    readonly firmware: string;
    readonly protocol: number;
    readonly isVirtual: boolean;
  } | null;
  readonly programVersion: string;
  /** The limits the rig reported, as JSON, so that timing and floor can be recomputed. */
  readonly rigLimits: Readonly<Record<string, number>> | null;
  readonly closedEndMm: number | null;
  readonly openEndMm: number | null;
  readonly worstPointIndex: number | null;
  readonly worstDeviationDb: number | null;
  readonly readings: readonly ReadingRecord[];
  readonly points: readonly PointRecord[];
  readonly checks: readonly CheckRecord[];
  readonly traces: readonly TraceRecord[];
}

/** What a search answers: one line per run. */
export interface RunSummary {
  readonly runId: string;
  readonly serial: string;
  readonly batch: string | null;
  readonly job: Job;
  readonly operator: string;
  readonly startedAt: string;
  readonly endedAt: string;
  readonly outcome: RunOutcome;
  readonly outcomeReason: string | null;
  readonly verdict: VerdictWord;
  readonly verdictReason: string;
  readonly lawId: string;
  readonly lawRevision: number;
  readonly isVirtual: boolean;
  readonly worstPointIndex: number | null;
  readonly worstDeviationDb: number | null;
}
