import type { Database as Connection, Statement, Transaction } from 'better-sqlite3';
import { type Cell, cellsOf } from './cells.ts';
import { type RunContent, runChecksum } from './checksum.ts';
import { type FieldMap, headFields, insertInto, rigFields } from './columns.ts';
import { DuplicateRunError, RunRefusedError, UnknownReferenceError } from './errors.ts';
import { instantMs } from './instant.ts';
import {
  checkKinds,
  columnText,
  type PointWords,
  pointWordKinds,
  refuseDoubles,
  traceHeadKinds,
} from './measurement-text.ts';
import type { Opening } from './openings.ts';
import { packedPoints } from './packed-points.ts';
import { packedReadings } from './packed-readings.ts';
import { packedTraces, traceHeads } from './packed-traces.ts';
import type { RunRecord } from './records.ts';
import { sqliteCode } from './sqlite-errors.ts';

/** What of an opening must be the same when its run is recorded. */
type OpeningKeys = Pick<Opening, 'serial' | 'job' | 'lawId' | 'lawRevision'>;

/** Writes a whole run or nothing of it. */
export class RunWriter {
  readonly #findRun: Statement;
  readonly #findLaw: Statement;
  readonly #findCalibration: Statement;
  readonly #known = new Set<string>();
  readonly #knownLimits = new Map<string, number>();
  readonly #findOpening: Statement<[string], OpeningKeys>;
  readonly #findLimits: Statement<[string], number>;
  readonly #insertLimits: Statement;
  readonly #insertRun: Statement;
  readonly #insertMeasurements: Statement;
  readonly #write: Transaction<(run: RunRecord, content: RunContent) => void>;

  constructor(db: Connection) {
    this.#findRun = db.prepare('SELECT 1 FROM runs WHERE run_id = ?');
    this.#findLaw = db.prepare('SELECT 1 FROM laws WHERE law_id = ? AND revision = ?');
    this.#findCalibration = db.prepare('SELECT 1 FROM calibrations WHERE calibration_id = ?');
    this.#findOpening = db.prepare(
      'SELECT serial, job, law_id AS lawId, law_revision AS lawRevision FROM openings WHERE run_id = ?',
    );
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
      insertInto('measurements', ['point_words', 'checks', 'traces', 'points', 'readings', 'samples']),
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
    const opening = this.#findOpening.get(run.runId);
    if (opening !== undefined) refuseOtherEnd(opening, run);
    const { pointWords, checks, traces, points, readings, samples } = content;
    // The database numbers the measurements, and with them the run: the highest number so far and one.
    const runNo = this.#insertMeasurements.run(pointWords, checks, traces, points, readings, samples).lastInsertRowid;
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
    const { lawId, lawRevision, calibrationId } = run;
    if (!this.#isKnown(this.#findLaw, lawId, lawRevision)) {
      throw new UnknownReferenceError(`Revision ${lawRevision} of law ${lawId}`);
    }
    if (calibrationId !== null && !this.#isKnown(this.#findCalibration, calibrationId)) {
      throw new UnknownReferenceError(`Calibration ${calibrationId}`);
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
  refuseDoubles(run.readings, (reading) => reading.sequence, runId, 'reading');
  refuseDoubles(run.points, (point) => point.pointIndex, runId, 'point');
  refuseDoubles(run.checks, (check) => check.name, runId, 'check');
  refuseUnearned(run);
  return {
    head: cellsOf(headFields, run, runId, ''),
    rig: run.rig === null ? noRig : cellsOf(rigFields, run.rig, runId, 'rig.'),
    rigLimits: run.rigLimits === null ? null : limitsText(run.rigLimits, runId),
    readings: packedReadings(run.readings, runId),
    points: packedPoints(run.points, runId),
    pointWords: columnText<PointWords>(pointWordKinds, run.points, runId, 'points'),
    checks: columnText(checkKinds, run.checks, runId, 'checks'),
    traces: columnText(traceHeadKinds, traceHeads(run.traces, runId), runId, 'traces'),
    samples: packedTraces(run.traces),
  };
}

/** In the order given: another order is stored once more, which costs less than sorting at every run. */
function limitsText(limits: Readonly<Record<string, number>>, runId: string): string {
  for (const name in limits) {
    if (!Number.isFinite(limits[name]) || !name.isWellFormed()) {
      throw new RunRefusedError(runId, `rigLimits.${name} is ${limits[name]}; a finite number is needed`);
    }
  }
  return JSON.stringify(limits);
}

/** A run ends as the run that was begun. */
function refuseOtherEnd(opening: OpeningKeys, run: RunRecord): void {
  for (const property of ['serial', 'job', 'lawId', 'lawRevision'] as const) {
    if (opening[property] === run[property]) continue;
    const detail = `it was begun with ${property} "${opening[property]}" and ended with "${run[property]}"`;
    throw new RunRefusedError(run.runId, detail);
  }
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

function refusal(error: unknown, runId: string): unknown {
  const code = sqliteCode(error);
  if (!(error instanceof Error) || code === null || !code.startsWith('SQLITE_CONSTRAINT')) return error;
  return new RunRefusedError(runId, error.message.replace(/^rule: /, ''), error);
}
