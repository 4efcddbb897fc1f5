import type { Database as Connection, Statement } from 'better-sqlite3';
import type { Cell } from './cells.ts';
import { type RunContent, runChecksum } from './checksum.ts';
import { columnList, headFields, type RigRecord, type RunHead, rigFields, selectList } from './columns.ts';
import { ArchiveDefectError } from './errors.ts';
import { checkKinds, pointWordKinds, recordsOf, traceHeadKinds } from './measurement-text.ts';
import { unpackedPoints } from './packed-points.ts';
import { unpackedReadings } from './packed-readings.ts';
import { unpackedTraces } from './packed-traces.ts';
import type { PointRecord, RunRecord } from './records.ts';

type RigRow = { [K in keyof RigRecord]: (RigRecord[K] extends boolean ? number : RigRecord[K]) | null };
type Measurements = Pick<RunContent, 'pointWords' | 'checks' | 'traces' | 'points' | 'readings' | 'samples'>;

interface Keys {
  readonly runNo: number;
  readonly limits: string | null;
  readonly checksum: number | null;
}

/** Reads runs back whole, exactly as they were handed in. */
export class RunReader {
  readonly #keys: Statement<[string], Keys>;
  readonly #head: Statement<[number], RunHead>;
  readonly #rig: Statement<[number], RigRow>;
  readonly #measurements: Statement<[number], Measurements>;
  readonly #rawHead: Statement<[number], Cell[]>;
  readonly #rawRig: Statement<[number], Cell[]>;

  constructor(db: Connection) {
    this.#keys = db.prepare(
      `SELECT run_no AS runNo, rig_limits.content AS limits, checksum
       FROM runs LEFT JOIN rig_limits USING (limits_no) WHERE run_id = ?`,
    );
    this.#head = db.prepare(`SELECT ${selectList(headFields)} FROM runs WHERE run_no = ?`);
    this.#rig = db.prepare(`SELECT ${selectList(rigFields)} FROM runs WHERE run_no = ?`);
    this.#measurements = db.prepare(
      'SELECT point_words AS pointWords, checks, traces, points, readings, samples FROM measurements WHERE run_no = ?',
    );
    const raw = (columns: string): Statement<[number], Cell[]> =>
      db.prepare<[number], Cell[]>(`SELECT ${columns} FROM runs WHERE run_no = ?`).raw();
    this.#rawHead = raw(columnList(headFields));
    this.#rawRig = raw(columnList(rigFields));
  }

  /** The run, or null if there is none of this id. */
  read(runId: string): RunRecord | null {
    const keys = this.#keys.get(runId);
    if (keys === undefined) return null;
    const { runNo } = keys;
    const head = this.#head.get(runNo);
    const rig = this.#rig.get(runNo);
    const measurements = this.#measurements.get(runNo);
    if (head === undefined || rig === undefined || measurements === undefined)
      throw new ArchiveDefectError(`Run ${runId} is not whole in the database.`);
    return {
      ...head,
      rig: rigOf(rig),
      rigLimits: keys.limits === null ? null : (JSON.parse(keys.limits) as Record<string, number>),
      readings: unpackedReadings(measurements.readings),
      points: pointsOf(measurements.points, measurements.pointWords),
      checks: recordsOf(checkKinds, measurements.checks),
      traces: unpackedTraces(recordsOf(traceHeadKinds, measurements.traces), measurements.samples),
    };
  }

  /** True: as recorded; false: something of it changed; null: recorded before checksums were kept. */
  isAsRecorded(runId: string): boolean | null {
    const keys = this.#keys.get(runId);
    if (keys === undefined || keys.checksum === null) return null;
    const { runNo } = keys;
    const measurements = this.#measurements.get(runNo);
    if (measurements === undefined) return false;
    const content: RunContent = {
      head: this.#rawHead.get(runNo) ?? [],
      rig: this.#rawRig.get(runNo) ?? [],
      rigLimits: keys.limits,
      ...measurements,
    };
    return runChecksum(content) === keys.checksum;
  }
}

function rigOf(row: RigRow): RunRecord['rig'] {
  const { model, serial, firmware, protocol, isVirtual } = row;
  if (model === null || serial === null || firmware === null || protocol === null || isVirtual === null) return null;
  return { model, serial, firmware, protocol, isVirtual: isVirtual === 1 };
}

function pointsOf(numbers: Uint8Array, text: string): PointRecord[] {
  const words = recordsOf(pointWordKinds, text);
  return unpackedPoints(numbers).map((point, i) => {
    const word = words[i];
    if (word === undefined) throw new ArchiveDefectError('A point has no zone in the database.');
    return { ...point, ...word };
  });
}
