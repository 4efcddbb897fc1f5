import type { Database as Connection, Statement, Transaction } from 'better-sqlite3';
import { canonicalJson } from './canonical-json.ts';
import { type Cell, cellsOf } from './cells.ts';
import { type RunContent, runChecksum } from './checksum.ts';
import { type FieldMap, headFields, insertInto, rigFields, traceHeadFields } from './columns.ts';
import { DuplicateRunError, RunRefusedError, UnknownReferenceError } from './errors.ts';
import { instantMs } from './instant.ts';
import { checkKinds, columnText, type PointWords, pointWordKinds, refuseDoubles } from './measurement-text.ts';
import type { Opening } from './openings.ts';
import { packed } from './packed-arrays.ts';
import { packedPoints } from './packed-points.ts';
import { packedReadings } from './packed-readings.ts';
import type { RunRecord, TraceRecord } from './records.ts';
import { sqliteCode } from './sqlite-errors.ts';

const traceColumns = ['samples', 'counter', 'position_um', 'rig_clock_us', 'wiper_counts'];

/** Writes a whole run or nothing of it. */
export class RunWriter {
  readonly #findRun: Statement;
  readonly #findLaw: Statement;
  readonly #findCalibration: Statement;
  readonly #findOpening: Statement<[string], Pick<Opening, 'serial' | 'job' | 'lawId' | 'lawRevision'>>;
  readonly #known = new Set<string>();
  readonly #knownLimits = new Map<string, number>();
  readonly #nextRunNo: Statement<[], number>;
  readonly #findLimits: Statement<[string], number>;
  readonly #insertLimits: Statement;
  readonly #insertRun: Statement;
  readonly #insertMeasurements: Statement;
  readonly #insertTrace: Statement;
  readonly #write: Transaction<(run: RunRecord, content: RunContent) => void>;

  constructor(db: Connection) {
    this.#findRun = db.prepare('SELECT 1 FROM runs WHERE run_id = ?');
    this.#findLaw = db.prepare('SELECT 1 FROM laws WHERE law_id = ? AND revision = ?');
    this.#findCalibration = db.prepare('SELECT 1 FROM calibrations WHERE calibration_id = ?');
    this.#findOpening = db.prepare(
      'SELECT serial, job, law_id AS lawId, law_revision AS lawRevision FROM openings WHERE run_id = ?',
    );
    this.#nextRunNo = db.prepare<[], number>('SELECT coalesce(max(run_no), 0) + 1 FROM runs').pluck();
    this.#findLimits = db.prepare<[string], number>('SELECT limits_no FROM rig_limits WHERE content = ?').pluck();
    this.#insertLimits = db.prepare('INSERT INTO rig_limits (content) VALUES (?)');
    this.#insertRun = db.prepare(
      insertInto('runs', [
        'run_no',
        'started_ms',
        'limits_no',
        'checksum',
        ...columns(headFields),
        ...columns(rigFields),
      ]),
    );
    this.#insertMeasurements = db.prepare(
      insertInto('measurements', ['run_no', 'readings', 'points', 'point_words', 'checks']),
    );
    this.#insertTrace = db.prepare(
      insertInto('traces', ['trace_no', 'run_no', 'place', ...columns(traceHeadFields), ...traceColumns]),
    );
    this.#write = db.transaction((run, content) => this.#writeAll(run, content));
  }

  /**
   * One IMMEDIATE transaction; on disk when it returns.
   * @throws DuplicateRunError, UnknownReferenceError (law revision or calibration), RunRefusedError, and SQLite's own errors.
   */
  write(run: RunRecord): void {
    // Outside the transaction, so that other writers wait for the disk only.
    const content = contentOf(run);
    try {
      this.#write.immediate(run, content);
    } catch (error) {
      // Looked for only now, so that a run that is not a duplicate costs no search.
      if (sqliteCode(error) !== null && this.#findRun.get(run.runId) !== undefined) {
        throw new DuplicateRunError(run.runId, 'recorded');
      }
      throw refusal(error, run.runId);
    }
  }

  #writeAll(run: RunRecord, content: RunContent): void {
    this.#checkReferences(run);
    const startedMs = instantMs(run.startedAt);
    if (startedMs === null)
      throw new RunRefusedError(run.runId, `startedAt "${run.startedAt}" is not an ISO 8601 UTC time`);
    if (instantMs(run.endedAt) === null) {
      throw new RunRefusedError(run.runId, `endedAt "${run.endedAt}" is not an ISO 8601 UTC time`);
    }
    const runNo = this.#nextRunNo.get();
    if (runNo === undefined) throw new RunRefusedError(run.runId, 'the database gave no run number');
    this.#insertMeasurements.run(runNo, content.readings, content.points, content.pointWords, content.checks);
    content.traces.forEach((cells, place) => {
      const samples = run.traces[place]?.counter.length;
      this.#insertTrace.run(
        runNo * 1000 + place,
        runNo,
        place,
        cells,
        samples,
        content.traceColumns.slice(place * 4, place * 4 + 4),
      );
    });
    // Last: the run row closes the run, after it nothing can be added.
    this.#insertRun.run(
      runNo,
      startedMs,
      this.#limitsNo(content.rigLimits),
      runChecksum(content),
      content.head,
      content.rig,
    );
  }

  #checkReferences(run: RunRecord): void {
    const { runId, lawId, lawRevision, calibrationId } = run;
    if (!this.#isKnown(this.#findLaw, lawId, lawRevision)) {
      throw new UnknownReferenceError(`Revision ${lawRevision} of law ${lawId}`);
    }
    if (calibrationId !== null && !this.#isKnown(this.#findCalibration, calibrationId)) {
      throw new UnknownReferenceError(`Calibration ${calibrationId}`);
    }
    const opening = this.#findOpening.get(runId);
    if (opening === undefined) return;
    for (const property of ['serial', 'job', 'lawId', 'lawRevision'] as const) {
      if (opening[property] !== run[property]) {
        const detail = `it was begun with ${property} "${opening[property]}" and ended with "${run[property]}"`;
        throw new RunRefusedError(runId, detail);
      }
    }
  }

  /** What was found once is there for ever: nothing is ever deleted. */
  #isKnown(find: Statement, ...key: (string | number)[]): boolean {
    const name = `${find.source}\n${key.join('\n')}`;
    if (this.#known.has(name)) return true;
    if (find.get(...key) === undefined) return false;
    this.#known.add(name);
    return true;
  }

  #limitsNo(content: string | null): number | null {
    if (content === null) return null;
    const known = this.#knownLimits.get(content) ?? this.#findLimits.get(content);
    // Not remembered in the transaction that adds it: that may still be undone.
    if (known === undefined) return Number(this.#insertLimits.run(content).lastInsertRowid);
    this.#knownLimits.set(content, known);
    return known;
  }
}

function columns<T>(fields: FieldMap<T>): string[] {
  return Object.values<string>(fields);
}

const noRig: readonly Cell[] = columns(rigFields).map(() => null);

function contentOf(run: RunRecord): RunContent {
  const { runId } = run;
  refuseDoubles(
    run.readings.map((reading) => reading.sequence),
    runId,
    'reading',
  );
  refuseDoubles(
    run.points.map((point) => point.pointIndex),
    runId,
    'point',
  );
  refuseDoubles(
    run.checks.map((check) => check.name),
    runId,
    'check',
  );
  refuseUnearned(run);
  return {
    head: cellsOf(headFields, run, runId, ''),
    rig: run.rig === null ? noRig : cellsOf(rigFields, run.rig, runId, 'rig.'),
    rigLimits: run.rigLimits === null ? null : canonicalJson(run.rigLimits, 'rigLimits'),
    readings: packedReadings(run.readings, runId),
    points: packedPoints(run.points, runId),
    pointWords: columnText<PointWords>(pointWordKinds, run.points, runId, 'points'),
    checks: columnText(checkKinds, run.checks, runId, 'checks'),
    traces: run.traces.map((trace, i) => cellsOf(traceHeadFields, trace, runId, `traces[${i}].`)),
    traceColumns: run.traces.flatMap(packedColumns),
  };
}

/** Nothing passes that was not measured. */
function refuseUnearned(run: RunRecord): void {
  const point = run.points.find(
    ({ zone, deviationDb, uncertaintyDb }) => zone === 'pass' && (deviationDb === null || uncertaintyDb === null),
  );
  if (point !== undefined)
    throw new RunRefusedError(run.runId, `point ${point.pointIndex} passes without being measured`);
  const check = run.checks.find(({ zone, value }) => zone === 'pass' && value === null);
  if (check !== undefined) throw new RunRefusedError(run.runId, `${check.name} passes without being measured`);
}

function packedColumns(trace: TraceRecord): Buffer[] {
  return [packed(trace.counter), packed(trace.positionUm), packed(trace.rigClockUs), packed(trace.wiperCounts)];
}

function refusal(error: unknown, runId: string): unknown {
  const code = sqliteCode(error);
  if (!(error instanceof Error) || code === null || !code.startsWith('SQLITE_CONSTRAINT')) return error;
  return new RunRefusedError(runId, error.message.replace(/^rule: /, ''), error);
}
