/**
 * Which property of a record lives in which column. The maps are checked for completeness by the compiler: a property
 * added to a record without a column does not compile. Their order is the order of the checksum (see `checksum.ts`).
 */
import type { RunRecord } from './records.ts';

export type FieldMap<T> = { readonly [K in keyof T]-?: string };

export type RunHead = Omit<RunRecord, 'rig' | 'rigLimits' | 'readings' | 'points' | 'checks' | 'traces'>;
export type RigRecord = NonNullable<RunRecord['rig']>;

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
