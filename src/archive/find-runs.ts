import type { Database as Connection, Statement } from 'better-sqlite3';
import { BadQueryError } from './errors.ts';
import { instantMs } from './instant.ts';
import type { Job, RunSummary, VerdictWord } from './records.ts';

/** Every condition given must hold; none given = all runs. */
export interface RunFilter {
  readonly serial?: string;
  /** Any part of the serial; ASCII letters match whatever their case. */
  readonly serialPart?: string;
  readonly batch?: string;
  readonly job?: Job;
  readonly verdict?: VerdictWord;
  readonly lawId?: string;
  readonly lawRevision?: number;
  /** Start of the run, ISO 8601 UTC: from inclusive, to exclusive. */
  readonly from?: string;
  readonly to?: string;
}

export interface RunSearch extends RunFilter {
  /** 1..1000, 100 unless told. */
  readonly limit?: number;
  readonly offset?: number;
  /** Go on after this run of the same search: as fast on the last page as on the first. */
  readonly afterRunId?: string;
}

/** How often a serial was tried against a law. */
export interface AttemptCount {
  /** All recorded runs, whatever came of them. */
  readonly total: number;
  readonly pass: number;
  readonly doubt: number;
  readonly fail: number;
  readonly void: number;
  /** Begun, not recorded (yet). */
  readonly unfinished: number;
}

export interface LawUse {
  readonly runs: number;
  readonly serials: number;
  readonly firstStartedAt: string | null;
  readonly lastStartedAt: string | null;
}

/** A run's place in an export: oldest first. */
export interface RunPlace {
  readonly runId: string;
  readonly runNo: number;
  readonly startedMs: number;
}

type SummaryRow = Omit<RunSummary, 'isVirtual'> & { readonly isVirtual: number | null };

const summaryColumns = `run_id AS runId, serial, batch, job, operator, started_at AS startedAt, ended_at AS endedAt, outcome,
  outcome_reason AS outcomeReason, verdict, verdict_reason AS verdictReason, law_id AS lawId, law_revision AS lawRevision,
  rig_is_virtual AS isVirtual, worst_point_index AS worstPointIndex, worst_deviation_db AS worstDeviationDb`;

export class RunFinder {
  readonly #db: Connection;
  readonly #ofSerial: Statement<[string], SummaryRow>;
  readonly #lastPieces: Statement<[number], SummaryRow>;
  readonly #place: Statement<[string], RunPlace>;
  readonly #attempts: Statement<[{ serial: string; lawId: string }], AttemptCount>;
  readonly #lawUse: Statement<[{ lawId: string; revision: number }], LawUse>;
  readonly #lastRunNo: Statement<[], number>;

  constructor(db: Connection) {
    this.#db = db;
    this.#ofSerial = db.prepare(
      `SELECT ${summaryColumns} FROM runs WHERE serial = ? ORDER BY started_ms DESC, run_no DESC`,
    );
    this.#lastPieces = db.prepare(
      `SELECT ${summaryColumns} FROM runs r
       WHERE NOT EXISTS (SELECT 1 FROM runs later WHERE later.serial = r.serial AND later.run_no > r.run_no)
       ORDER BY run_no DESC LIMIT ?`,
    );
    this.#place = db.prepare(
      'SELECT run_id AS runId, run_no AS runNo, started_ms AS startedMs FROM runs WHERE run_id = ?',
    );
    this.#attempts = db.prepare(
      `SELECT count(*) AS total, count(*) FILTER (WHERE verdict = 'pass') AS pass,
         count(*) FILTER (WHERE verdict = 'doubt') AS doubt, count(*) FILTER (WHERE verdict = 'fail') AS fail,
         count(*) FILTER (WHERE verdict = 'void') AS void,
         (SELECT count(*) FROM openings o WHERE o.serial = @serial AND o.law_id = @lawId
            AND NOT EXISTS (SELECT 1 FROM runs r WHERE r.run_id = o.run_id)) AS unfinished
       FROM runs WHERE serial = @serial AND law_id = @lawId`,
    );
    this.#lawUse = db.prepare(
      `SELECT count(*) AS runs, count(DISTINCT serial) AS serials,
         (SELECT started_at FROM runs WHERE law_id = @lawId AND law_revision = @revision ORDER BY started_ms LIMIT 1) AS firstStartedAt,
         (SELECT started_at FROM runs WHERE law_id = @lawId AND law_revision = @revision ORDER BY started_ms DESC LIMIT 1) AS lastStartedAt
       FROM runs WHERE law_id = @lawId AND law_revision = @revision`,
    );
    this.#lastRunNo = db.prepare<[], number>('SELECT coalesce(max(run_no), 0) FROM runs').pluck();
  }

  /** Newest first. */
  ofSerial(serial: string): RunSummary[] {
    return this.#ofSerial.all(serial).map(summaryOf);
  }

  /** Newest first. */
  find(search: RunSearch): RunSummary[] {
    const { where, values } = conditions(search);
    if (search.afterRunId !== undefined) {
      const place = this.#place.get(search.afterRunId);
      if (place === undefined) throw new BadQueryError(`there is no run ${search.afterRunId} to go on after`);
      where.push('(started_ms, run_no) < (?, ?)');
      values.push(place.startedMs, place.runNo);
    }
    const limit = wholeNumber(search.limit ?? 100, 'limit', 1, 1000);
    const offset = wholeNumber(search.offset ?? 0, 'offset', 0, Number.MAX_SAFE_INTEGER);
    const sql = `SELECT ${summaryColumns} FROM runs ${clause(where)} ORDER BY started_ms DESC, run_no DESC LIMIT ? OFFSET ?`;
    return this.#db
      .prepare<unknown[], SummaryRow>(sql)
      .all(...values, limit, offset)
      .map(summaryOf);
  }

  count(filter: RunFilter): number {
    const { where, values } = conditions(filter);
    const sql = `SELECT count(*) FROM runs ${clause(where)}`;
    return (
      this.#db
        .prepare<unknown[], number>(sql)
        .pluck()
        .get(...values) ?? 0
    );
  }

  /** The newest run of each of the last pieces, the last recorded piece first. */
  lastPieces(count: number): RunSummary[] {
    return this.#lastPieces.all(wholeNumber(count, 'number of pieces', 1, 1000)).map(summaryOf);
  }

  attempts(serial: string, lawId: string): AttemptCount {
    const count = this.#attempts.get({ serial, lawId });
    return count ?? { total: 0, pass: 0, doubt: 0, fail: 0, void: 0, unfinished: 0 };
  }

  lawUse(lawId: string, revision: number): LawUse {
    return this.#lawUse.get({ lawId, revision }) ?? { runs: 0, serials: 0, firstStartedAt: null, lastStartedAt: null };
  }

  /**
   * Places of the matching runs, oldest first, page by page, so that nothing stays locked between pages. Runs recorded
   * after the first page are left out.
   */
  *pages(filter: RunFilter, pageSize: number): Generator<readonly RunPlace[]> {
    const { where, values } = conditions(filter);
    where.push('run_no <= ?', '(started_ms, run_no) > (?, ?)');
    const sql = `SELECT run_id AS runId, run_no AS runNo, started_ms AS startedMs FROM runs ${clause(where)}
      ORDER BY started_ms, run_no LIMIT ?`;
    const statement = this.#db.prepare<unknown[], RunPlace>(sql);
    const newest = this.#lastRunNo.get() ?? 0;
    let last: Pick<RunPlace, 'startedMs' | 'runNo'> | undefined = { startedMs: Number.MIN_SAFE_INTEGER, runNo: 0 };
    while (last !== undefined) {
      const page: RunPlace[] = statement.all(...values, newest, last.startedMs, last.runNo, pageSize);
      if (page.length > 0) yield page;
      last = page.length < pageSize ? undefined : page.at(-1);
    }
  }
}

function summaryOf(row: SummaryRow): RunSummary {
  return { ...row, isVirtual: row.isVirtual === 1 };
}

function clause(where: readonly string[]): string {
  return where.length === 0 ? '' : `WHERE ${where.join(' AND ')}`;
}

function conditions(filter: RunFilter): { where: string[]; values: (string | number)[] } {
  const where: string[] = [];
  const values: (string | number)[] = [];
  const add = (sql: string, value: string | number | undefined): void => {
    if (value === undefined) return;
    where.push(sql);
    values.push(value);
  };
  add('serial = ?', filter.serial);
  add(
    "serial LIKE ? ESCAPE '\\'",
    filter.serialPart === undefined ? undefined : `%${escapedPattern(filter.serialPart)}%`,
  );
  add('batch = ?', filter.batch);
  add('job = ?', filter.job);
  add('verdict = ?', filter.verdict);
  add('law_id = ?', filter.lawId);
  add('law_revision = ?', filter.lawRevision);
  add('started_ms >= ?', filter.from === undefined ? undefined : instant(filter.from, 'from'));
  add('started_ms < ?', filter.to === undefined ? undefined : instant(filter.to, 'to'));
  return { where, values };
}

function escapedPattern(part: string): string {
  // SQLite refuses patterns above 50,000 bytes; no serial is that long.
  if (part.length > 1000) throw new BadQueryError('the part of a serial is longer than 1000 characters');
  return part.replace(/[\\%_]/g, '\\$&');
}

function instant(text: string, name: string): number {
  const ms = instantMs(text);
  if (ms === null)
    throw new BadQueryError(`${name} "${text}" is not an ISO 8601 UTC time such as 2026-11-25T10:00:00Z`);
  return ms;
}

function wholeNumber(value: number, name: string, low: number, high: number): number {
  if (Number.isInteger(value) && value >= low && value <= high) return value;
  throw new BadQueryError(`${name} is ${value}; it must be a whole number from ${low} to ${high}`);
}
