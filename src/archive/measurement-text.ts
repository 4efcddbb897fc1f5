/**
 * Checks, the words of points and the heads of traces as text: one JSON object of columns, `{"zone":["pass","doubt"],"reason":[null,"..."]}`.
 * JSON writes numbers so that they read back to the same double, and any tool can read it (SQLite's own `json_each` too).
 */
import { RunRefusedError } from './errors.ts';
import type { CheckRecord, PointRecord, TraceRecord } from './records.ts';

/** What a property may hold: a list = one of these words; `...OrGap` = or null. */
type FieldKind = 'number' | 'numberOrGap' | 'textOrGap' | readonly string[];
/** Checked for completeness by the compiler: a property added to a record must be named here. */
export type FieldKinds<T> = { readonly [K in keyof T]-?: FieldKind };

const zones = ['pass', 'doubt', 'fail', 'void'];

export type PointWords = Pick<PointRecord, 'zone' | 'reason'>;

export const pointWordKinds: FieldKinds<PointWords> = { zone: zones, reason: 'textOrGap' };

export type TraceHead = Pick<TraceRecord, 'purpose' | 'samplePeriodUs' | 'trackCounts'> & { readonly samples: number };

export const traceHeadKinds: FieldKinds<TraceHead> = {
  purpose: ['closedEnd', 'openEnd'],
  samplePeriodUs: 'number',
  trackCounts: 'number',
  samples: 'number',
};

export const checkKinds: FieldKinds<CheckRecord> = {
  name: ['closedLoss', 'openLoss', 'totalResistance', 'play'],
  unit: ['dB', 'ohm', 'mm'],
  value: 'numberOrGap',
  lower: 'numberOrGap',
  upper: 'numberOrGap',
  uncertainty: 'numberOrGap',
  zone: zones,
  reason: 'textOrGap',
};

/** @throws RunRefusedError naming the first value that is not what its column holds. */
export function columnText<T extends object>(
  kinds: FieldKinds<T>,
  records: readonly T[],
  runId: string,
  listName: string,
): string {
  const columns: Record<string, unknown[]> = {};
  for (const property in kinds) {
    const kind = kinds[property];
    columns[property] = records.map((record, index) => {
      const value = record[property];
      const fault = faultOf(value, kind);
      if (fault !== null) throw new RunRefusedError(runId, `${listName}[${index}].${property} ${fault}`);
      return value;
    });
  }
  return JSON.stringify(columns);
}

export function recordsOf<T extends object>(kinds: FieldKinds<T>, text: string): T[] {
  const columns = JSON.parse(text) as Record<string, readonly unknown[]>;
  const properties = Object.keys(kinds);
  const count = columns[properties[0] ?? '']?.length ?? 0;
  return Array.from(
    { length: count },
    (_, index) => Object.fromEntries(properties.map((property) => [property, columns[property]?.[index]])) as T,
  );
}

/** @throws RunRefusedError when two records of a list claim the same key. */
export function refuseDoubles<T>(
  records: readonly T[],
  keyOf: (record: T) => number | string,
  runId: string,
  what: string,
): void {
  const seen = new Set<number | string>();
  for (const record of records) {
    const key = keyOf(record);
    if (seen.has(key)) throw new RunRefusedError(runId, `${what} ${key} comes twice`);
    seen.add(key);
  }
}

function faultOf(value: unknown, kind: FieldKind): string | null {
  if (typeof kind !== 'string') {
    return typeof value === 'string' && kind.includes(value)
      ? null
      : `is "${String(value)}", not one of ${kind.join(', ')}`;
  }
  if (value === null) return kind === 'number' ? 'is a gap (null), which is not allowed there' : null;
  if (kind === 'textOrGap') {
    if (typeof value !== 'string') return `is ${typeof value}, not a text`;
    return value.isWellFormed() ? null : 'holds half a character (a lone surrogate)';
  }
  if (Number.isFinite(value)) return null;
  return typeof value === 'number' ? `is ${value}; a gap is null` : `is ${typeof value}, not a number`;
}
