/**
 * What the archive costs: finding one serial among 100,000 runs, and a durable append compared with bare inserts of the
 * same rows under the same pragmas. Both sides alternate in the same process on the same disk; medians and their ratio.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database, { type Database as Connection, type Statement } from 'better-sqlite3';
import { openArchive } from '../../src/archive/open.ts';
import type { RunRecord } from '../../src/archive/records.ts';
import { exampleCalibration, exampleLaw, exampleRun } from '../archive/example-runs.ts';
import { atMost, type BenchLine, median, told } from './line.ts';

const filledRuns = 100_000;
/** The first appends of both sides warm up caches and compiled code and are not counted. */
const warmUp = 400;
const appends = 800;
const lookups = 2_000;
const options = { programVersion: 'bench', now: () => new Date() };

// In the order in which a run is written: its own row closes it.
const tables = ['measurements', 'runs'] as const;
type Rows = Readonly<Record<(typeof tables)[number], readonly unknown[][]>>;

export async function benchArchive(): Promise<BenchLine[]> {
  const place = mkdtempSync(join(tmpdir(), 'faderwright-bench-'));
  try {
    const path = join(place, 'bench.db');
    fill(path);
    const fileMb = statSync(path).size / 1e6;
    const opening = milliseconds(() => openArchive(path, options).close());
    const lookup = lookupMedian(path);
    const { archiveMs, bareMs, unindexedMs } = appendMedians(path, place);
    return [
      atMost('archive: runs of one serial among 100,000 runs', lookup, 'ms', 5),
      atMost('archive: durable append over bare inserts of the same rows', archiveMs / bareMs, 'ratio', 1.5),
      told('archive: durable append over bare inserts without indexes', archiveMs / unindexedMs, 'ratio'),
      told('archive: durable append', archiveMs, 'ms'),
      told('archive: bare inserts of the same rows', bareMs, 'ms'),
      told('archive: size of 100,000 runs', fileMb, 'MB'),
      told('archive: opening with quick check at 100,000 runs', opening, 'ms'),
    ];
  } finally {
    rmSync(place, { recursive: true, force: true });
  }
}

/**
 * 100,000 runs of 46 readings over 60,000 serials. One run is recorded properly, the others are its rows with other
 * numbers in one transaction: how they came in does not matter to what is measured. Triggers and keys stay on.
 */
function fill(path: string): void {
  const archive = openArchive(path, options);
  archive.storeLaw(exampleLaw);
  archive.storeCalibration(exampleCalibration);
  archive.recordRun(exampleRun(1));
  archive.close();
  const db = new Database(path);
  db.pragma('synchronous = OFF');
  db.pragma('foreign_keys = ON');
  const rows = rowsOf(db, 1);
  const insert = inserter(db);
  db.transaction(() => {
    // Spread over the table as life spreads them: a serial comes back after thousands of others.
    for (let runNo = 2; runNo <= filledRuns; runNo += 1) {
      const run = exampleHead(runNo, rows);
      insert({ ...withRunNo(rows, runNo), runs: [run] });
    }
  })();
  db.pragma('wal_checkpoint(TRUNCATE)');
  db.close();
}

function serialOf(runNo: number): string {
  return `PF104-26-48-${String((runNo * 7919) % 60_000).padStart(5, '0')}`;
}

function exampleHead(runNo: number, rows: Rows): unknown[] {
  const head = [...(rows.runs[0] ?? [])];
  head[0] = runNo;
  head[1] = `bench-${String((runNo * 2_654_435_761) % 4_294_967_296).padStart(10, '0')}-${runNo}`;
  head[2] = serialOf(runNo);
  head[7] = Number(head[7]) + runNo * 20_000;
  return head;
}

function withRunNo(rows: Rows, runNo: number): Rows {
  return {
    ...rows,
    measurements: rows.measurements.map((row) => [runNo, ...row.slice(1)]),
  };
}

function rowsOf(db: Connection, runNo: number): Rows {
  const read = (table: string, condition: string, ...keys: number[]): unknown[][] =>
    db
      .prepare<number[], unknown[]>(`SELECT * FROM ${table} WHERE ${condition}`)
      .raw()
      .all(...keys);
  return {
    runs: read('runs', 'run_no = ?', runNo),
    measurements: read('measurements', 'run_no = ?', runNo),
  };
}

function inserter(db: Connection): (rows: Rows) => void {
  const statements = tables.map((table): [keyof Rows, Statement] => {
    const width = db.prepare(`SELECT * FROM ${table}`).columns().length;
    return [table, db.prepare(`INSERT INTO ${table} VALUES (${Array(width).fill('?').join(', ')})`)];
  });
  return (rows) => {
    for (const [table, statement] of statements) for (const row of rows[table]) statement.run(row);
  };
}

function lookupMedian(path: string): number {
  const archive = openArchive(path, options);
  const times: number[] = [];
  for (let i = 0; i < lookups; i += 1) {
    const serial = serialOf((i * 7_907) % filledRuns);
    times.push(milliseconds(() => archive.runsOfSerial(serial)));
  }
  archive.close();
  return median(times);
}

interface AppendMedians {
  readonly archiveMs: number;
  /** Bare inserts into equally full tables with the same keys and indexes. */
  readonly bareMs: number;
  /** The same without any index but the primary keys. */
  readonly unindexedMs: number;
}

/** Archive, bare and unindexed side take turns, one append each, the first of a round changing. */
function appendMedians(path: string, place: string): AppendMedians {
  const source = new Database(path);
  const pattern = rowsOf(source, 1);
  const bare = bareCopy(source, join(place, 'bare.db'), true);
  const unindexed = bareCopy(source, join(place, 'unindexed.db'), false);
  source.close();
  const archive = openArchive(path, options);
  const appendTo = (db: Connection): ((rows: Rows) => void) => {
    const insert = inserter(db);
    const append = db.transaction((rows: Rows) => insert(rows));
    return (rows) => append.immediate(rows);
  };
  const appendBare = appendTo(bare);
  const appendUnindexed = appendTo(unindexed);
  const times: [number[], number[], number[]] = [[], [], []];
  for (let i = 0; i < warmUp + appends; i += 1) {
    const run = exampleRun(1_000_000 + i);
    const rows = rowsFor(pattern, filledRuns + 1 + i, run);
    const sides = [() => archive.recordRun(run), () => appendBare(rows), () => appendUnindexed(rows)];
    for (let turn = 0; turn < 3; turn += 1) {
      const side = (i + turn) % 3;
      times[side]?.push(milliseconds(() => sides[side]?.()));
    }
  }
  archive.close();
  bare.close();
  unindexed.close();
  const [archiveMs = Number.NaN, bareMs = Number.NaN, unindexedMs = Number.NaN] = times.map((side) =>
    median(side.slice(warmUp)),
  );
  return { archiveMs, bareMs, unindexedMs };
}

/** The rows the archive makes of `run`: as long and as varied as the pattern's, with the run's own keys. */
function rowsFor(pattern: Rows, runNo: number, run: RunRecord): Rows {
  const head = [...(pattern.runs[0] ?? [])];
  head[0] = runNo;
  head[1] = run.runId;
  head[2] = run.serial;
  head[7] = Date.parse(run.startedAt);
  return { ...withRunNo(pattern, runNo), runs: [head] };
}

/**
 * The same rows in tables of the same columns and keys under the same pragmas, with or without the archive's indexes; no
 * trigger, rule or reference.
 */
function bareCopy(source: Connection, barePath: string, withIndexes: boolean): Connection {
  source.prepare('ATTACH ? AS bare').run(barePath);
  for (const table of tables) {
    const columns = source.prepare<[string], { name: string; type: string; pk: number }>(
      'SELECT name, type, pk FROM pragma_table_info(?)',
    );
    const infos = columns.all(table);
    const key = infos.filter((info) => info.pk > 0).map((info) => info.name);
    const list = infos.map((info) => `${info.name} ${info.type}`).join(', ');
    const ending = key.length > 1 ? ' WITHOUT ROWID' : '';
    source.exec(`CREATE TABLE bare.${table} (${list}, PRIMARY KEY (${key.join(', ')}))${ending}`);
    source.exec(`INSERT INTO bare.${table} SELECT * FROM main.${table}`);
  }
  source.exec('DETACH bare');
  const bare = new Database(barePath);
  if (withIndexes) {
    const indexes = source.prepare<[], string>(
      "SELECT sql FROM sqlite_schema WHERE type = 'index' AND tbl_name = 'runs' AND sql IS NOT NULL",
    );
    for (const sql of indexes.pluck().all()) bare.exec(sql);
    bare.exec('CREATE UNIQUE INDEX runs_by_id ON runs (run_id)');
  }
  for (const pragma of ['journal_mode = WAL', 'synchronous = FULL', 'fullfsync = ON', 'cell_size_check = ON'])
    bare.pragma(pragma);
  return bare;
}

function milliseconds(action: () => unknown): number {
  const start = performance.now();
  action();
  return performance.now() - start;
}
