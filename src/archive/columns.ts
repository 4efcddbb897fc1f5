/**
 * Which property of a record lives in which column. The maps are checked for completeness by the compiler: a property
 * added to a record without a column does not compile. Their order is the order of the digest (see `digest.ts`).
 */
import type { CheckRecord, PointRecord, ReadingRecord, RunRecord, TraceRecord } from './records.ts';

export type FieldMap<T> = { readonly [K in keyof T]-?: string };

export type RunHead = Omit<RunRecord, 'rig' | 'rigLimits' | 'readings' | 'points' | 'checks' | 'traces'>;
export type RigRecord = NonNullable<RunRecord['rig']>;
export type TraceHead = Pick<TraceRecord, 'purpose' | 'samplePeriodUs' | 'trackCounts'>;

export const headFields: FieldMap<RunHead> = {
  runId: 'run_id',
  serial: 'serial',
  batch: 'batch',
  job: 'job',
  operator: 'operator',
  startedAt: 'started_at',
  endedAt: 'ended_at',
  outcome: 'outcome',
  outcomeReason: 'outcome_reason',
  verdict: 'verdict',
  verdictReason: 'verdict_reason',
  lawId: 'law_id',
  lawRevision: 'law_revision',
  calibrationId: 'calibration_id',
  programVersion: 'program_version',
  closedEndMm: 'closed_end_mm',
  openEndMm: 'open_end_mm',
  worstPointIndex: 'worst_point_index',
  worstDeviationDb: 'worst_deviation_db',
};

export const rigFields: FieldMap<RigRecord> = {
  model: 'rig_model',
  serial: 'rig_serial',
  firmware: 'rig_firmware',
  protocol: 'rig_protocol',
  isVirtual: 'rig_is_virtual',
};

export const readingFields: FieldMap<ReadingRecord> = {
  sequence: 'sequence',
  purpose: 'purpose',
  pointIndex: 'point_index',
  direction: 'direction',
  targetMm: 'target_mm',
  positionUm: 'position_um',
  rigClockUs: 'rig_clock_us',
  integrationUs: 'integration_us',
  conversions: 'conversions',
  wiperCounts: 'wiper_counts',
  wiperSdCounts: 'wiper_sd_counts',
  trackCounts: 'track_counts',
  overRange: 'over_range',
  travelMm: 'travel_mm',
  ratio: 'ratio',
  lossDb: 'loss_db',
};

export const pointFields: FieldMap<PointRecord> = {
  pointIndex: 'point_index',
  travelMm: 'travel_mm',
  lawDb: 'law_db',
  lowerDb: 'lower_db',
  upperDb: 'upper_db',
  upDeviationDb: 'up_deviation_db',
  downDeviationDb: 'down_deviation_db',
  deviationDb: 'deviation_db',
  uncertaintyDb: 'uncertainty_db',
  playMm: 'play_mm',
  zone: 'zone',
  reason: 'reason',
};

export const checkFields: FieldMap<CheckRecord> = {
  name: 'name',
  unit: 'unit',
  value: 'value',
  lower: 'lower',
  upper: 'upper',
  uncertainty: 'uncertainty',
  zone: 'zone',
  reason: 'reason',
};

export const traceHeadFields: FieldMap<TraceHead> = {
  purpose: 'purpose',
  samplePeriodUs: 'sample_period_us',
  trackCounts: 'track_counts',
};

/** `position_um AS "positionUm", ...`: rows come out as records. */
export function selectList<T>(fields: FieldMap<T>): string {
  return Object.entries<string>(fields)
    .map(([property, column]) => `${column} AS "${property}"`)
    .join(', ');
}

export function columnList<T>(fields: FieldMap<T>): string {
  return Object.values<string>(fields).join(', ');
}

export function insertInto(table: string, columns: readonly string[]): string {
  return `INSERT INTO ${table} (${columns.join(', ')}) VALUES (${columns.map(() => '?').join(', ')})`;
}
