import type { Database as Connection, Statement } from 'better-sqlite3';
import type { Cell } from './cells.ts';
import {
  checkFields,
  columnList,
  headFields,
  pointFields,
  type RigRecord,
  type RunHead,
  readingFields,
  rigFields,
  selectList,
  type TraceHead,
  traceHeadFields,
} from './columns.ts';
import { type RunContent, runDigest } from './digest.ts';
import { ArchiveDefectError } from './errors.ts';
import { unpackedFloat64, unpackedInt32, unpackedUint32 } from './packed-arrays.ts';
import type { CheckRecord, PointRecord, ReadingRecord, RunRecord, TraceRecord } from './records.ts';

const traceBytes = 'counter, position_um, rig_clock_us, wiper_counts';

interface TraceBytes {
  readonly counter: Uint8Array;
  readonly position_um: Uint8Array;
  readonly rig_clock_us: Uint8Array;
  readonly wiper_counts: Uint8Array;
}

type RigRow = { [K in keyof RigRecord]: (RigRecord[K] extends boolean ? number : RigRecord[K]) | null };
interface Keys {
  readonly runNo: number;
  readonly limits: string | null;
  readonly digest: Uint8Array | null;
}

/** Reads runs back whole, exactly as they were handed in. */
export class RunReader {
  readonly #keys: Statement<[string], Keys>;
  readonly #head: Statement<[number], RunHead>;
  readonly #rig: Statement<[number], RigRow>;
  readonly #readings: Statement<[number], Omit<ReadingRecord, 'overRange'> & { overRange: number }>;
  readonly #points: Statement<[number], PointRecord>;
  readonly #checks: Statement<[number], CheckRecord>;
  readonly #traces: Statement<[number], TraceHead & TraceBytes>;
  readonly #raw: Readonly<
    Record<'head' | 'rig' | 'readings' | 'points' | 'checks' | 'traces', Statement<[number], Cell[]>>
  >;

  constructor(db: Connection) {
    this.#keys = db.prepare(
      `SELECT run_no AS runNo, rig_limits.content AS limits, digest
       FROM runs LEFT JOIN rig_limits USING (limits_no) WHERE run_id = ?`,
    );
    this.#head = db.prepare(`SELECT ${selectList(headFields)} FROM runs WHERE run_no = ?`);
    this.#rig = db.prepare(`SELECT ${selectList(rigFields)} FROM runs WHERE run_no = ?`);
    this.#readings = db.prepare(`SELECT ${selectList(readingFields)} FROM readings WHERE run_no = ? ORDER BY sequence`);
    this.#points = db.prepare(`SELECT ${selectList(pointFields)} FROM points WHERE run_no = ? ORDER BY point_index`);
    this.#checks = db.prepare(`SELECT ${selectList(checkFields)} FROM checks WHERE run_no = ? ORDER BY place`);
    this.#traces = db.prepare(
      `SELECT ${selectList(traceHeadFields)}, ${traceBytes} FROM traces WHERE run_no = ? ORDER BY place`,
    );
    const raw = (columns: string, table: string, order: string): Statement<[number], Cell[]> =>
      db.prepare<[number], Cell[]>(`SELECT ${columns} FROM ${table} WHERE run_no = ? ORDER BY ${order}`).raw();
    this.#raw = {
      head: raw(columnList(headFields), 'runs', 'run_no'),
      rig: raw(columnList(rigFields), 'runs', 'run_no'),
      readings: raw(columnList(readingFields), 'readings', 'sequence'),
      points: raw(columnList(pointFields), 'points', 'point_index'),
      checks: raw(columnList(checkFields), 'checks', 'place'),
      traces: raw(columnList(traceHeadFields), 'traces', 'place'),
    };
  }

  /** The run, or null if there is none of this id. */
  read(runId: string): RunRecord | null {
    const keys = this.#keys.get(runId);
    if (keys === undefined) return null;
    const { runNo } = keys;
    const head = this.#head.get(runNo);
    const rig = this.#rig.get(runNo);
    if (head === undefined || rig === undefined)
      throw new ArchiveDefectError(`Run ${runId} vanished while being read.`);
    return {
      ...head,
      rig: rigOf(rig),
      rigLimits: keys.limits === null ? null : (JSON.parse(keys.limits) as Record<string, number>),
      readings: this.#readings.all(runNo).map((row) => ({ ...row, overRange: row.overRange === 1 })),
      points: this.#points.all(runNo),
      checks: this.#checks.all(runNo),
      traces: this.#traces.all(runNo).map(traceOf),
    };
  }

  /** True: as recorded; false: something of it changed; null: recorded before digests were kept. */
  isAsRecorded(runId: string): boolean | null {
    const keys = this.#keys.get(runId);
    if (keys === undefined || keys.digest === null) return null;
    const { runNo } = keys;
    const content: RunContent = {
      head: this.#raw.head.get(runNo) ?? [],
      rig: this.#raw.rig.get(runNo) ?? [],
      rigLimits: keys.limits,
      readings: this.#raw.readings.all(runNo),
      points: this.#raw.points.all(runNo),
      checks: this.#raw.checks.all(runNo),
      traces: this.#raw.traces.all(runNo),
      traceColumns: this.#traces
        .all(runNo)
        .flatMap((row) => [row.counter, row.position_um, row.rig_clock_us, row.wiper_counts]),
    };
    return runDigest(content).equals(keys.digest);
  }
}

function rigOf(row: RigRow): RunRecord['rig'] {
  const { model, serial, firmware, protocol, isVirtual } = row;
  if (model === null || serial === null || firmware === null || protocol === null || isVirtual === null) return null;
  return { model, serial, firmware, protocol, isVirtual: isVirtual === 1 };
}

function traceOf(row: TraceHead & TraceBytes): TraceRecord {
  return {
    purpose: row.purpose,
    samplePeriodUs: row.samplePeriodUs,
    trackCounts: row.trackCounts,
    counter: unpackedUint32(row.counter),
    positionUm: unpackedInt32(row.position_um),
    rigClockUs: unpackedFloat64(row.rig_clock_us),
    wiperCounts: unpackedInt32(row.wiper_counts),
  };
}
