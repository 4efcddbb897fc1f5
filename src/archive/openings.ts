import type { Database as Connection, Statement, Transaction } from 'better-sqlite3';
import { cellsOf } from './cells.ts';
import { columnList, type FieldMap, insertInto, selectList } from './columns.ts';
import { DuplicateRunError, RunRefusedError, UnknownReferenceError } from './errors.ts';
import { instantMs } from './instant.ts';
import type { Job } from './records.ts';
import { sqliteCode } from './sqlite-errors.ts';

/** That a run began: written before anything moves, so that a crash leaves a trace of the attempt. */
export interface Opening {
  readonly runId: string;
  readonly serial: string;
  readonly batch: string | null;
  readonly job: Job;
  readonly operator: string;
  /** ISO 8601 UTC. */
  readonly startedAt: string;
  readonly lawId: string;
  readonly lawRevision: number;
  readonly calibrationId: string | null;
  readonly rigSerial: string | null;
  readonly programVersion: string;
}

const openingFields: FieldMap<Opening> = {
  runId: 'run_id',
  serial: 'serial',
  batch: 'batch',
  job: 'job',
  operator: 'operator',
  startedAt: 'started_at',
  lawId: 'law_id',
  lawRevision: 'law_revision',
  calibrationId: 'calibration_id',
  rigSerial: 'rig_serial',
  programVersion: 'program_version',
};

export class OpeningBook {
  readonly #insert: Statement;
  readonly #findRun: Statement;
  readonly #findOpening: Statement;
  readonly #findLaw: Statement;
  readonly #findCalibration: Statement;
  readonly #unfinished: Statement<[], Opening>;
  readonly #begin: Transaction<(opening: Opening) => void>;

  constructor(db: Connection) {
    this.#insert = db.prepare(insertInto('openings', columnList(openingFields).split(', ')));
    this.#findRun = db.prepare('SELECT 1 FROM runs WHERE run_id = ?');
    this.#findOpening = db.prepare('SELECT 1 FROM openings WHERE run_id = ?');
    this.#findLaw = db.prepare('SELECT 1 FROM laws WHERE law_id = ? AND revision = ?');
    this.#findCalibration = db.prepare('SELECT 1 FROM calibrations WHERE calibration_id = ?');
    this.#unfinished = db.prepare(
      `SELECT ${selectList(openingFields)} FROM openings o
       WHERE NOT EXISTS (SELECT 1 FROM runs r WHERE r.run_id = o.run_id) ORDER BY started_at, run_id`,
    );
    this.#begin = db.transaction((opening) => this.#writeOpening(opening));
  }

  begin(opening: Opening): void {
    try {
      this.#begin.immediate(opening);
    } catch (error) {
      const code = sqliteCode(error);
      if (error instanceof Error && code?.startsWith('SQLITE_CONSTRAINT') === true) {
        throw new RunRefusedError(opening.runId, error.message, error);
      }
      throw error;
    }
  }

  unfinished(): Opening[] {
    return this.#unfinished.all();
  }

  #writeOpening(opening: Opening): void {
    const { runId, lawId, lawRevision, calibrationId } = opening;
    if (this.#findRun.get(runId) !== undefined) throw new DuplicateRunError(runId, 'recorded');
    if (this.#findOpening.get(runId) !== undefined) throw new DuplicateRunError(runId, 'begun');
    if (this.#findLaw.get(lawId, lawRevision) === undefined) {
      throw new UnknownReferenceError(`Revision ${lawRevision} of law ${lawId}`);
    }
    if (calibrationId !== null && this.#findCalibration.get(calibrationId) === undefined) {
      throw new UnknownReferenceError(`Calibration ${calibrationId}`);
    }
    if (instantMs(opening.startedAt) === null) {
      throw new RunRefusedError(runId, `startedAt "${opening.startedAt}" is not an ISO 8601 UTC time`);
    }
    this.#insert.run(cellsOf(openingFields, opening, runId, ''));
  }
}
