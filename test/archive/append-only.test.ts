import Database, { type Database as Connection } from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import { exampleRun, openingOf } from './example-runs.ts';
import { exampleBelief, trimEvent, trimRun } from './example-trim.ts';
import { filled } from './places.ts';

/** A plain connection as any other tool would open it: without the archive's own settings. */
function foreignConnection(): Connection {
  const archive = filled();
  archive.beginRun(openingOf(exampleRun(1)));
  archive.recordRun(exampleRun(1));
  archive.recordRun(exampleRun(2));
  archive.recordRun(trimRun(3));
  archive.recordTrim([trimEvent('measured', trimRun(3)), trimEvent('planned', trimRun(3))], exampleBelief());
  archive.close();
  const db = new Database(archive.path);
  db.pragma('recursive_triggers = OFF');
  db.pragma('foreign_keys = OFF');
  onTestFinished(() => {
    db.close();
  });
  return db;
}

const mutable = ['settings'];

function tables(db: Connection): string[] {
  const names = db
    .prepare<[], string>("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT GLOB 'sqlite_*'")
    .pluck()
    .all();
  return names.filter((name) => !mutable.includes(name));
}

function columns(db: Connection, table: string): string[] {
  return db.prepare<[string], string>('SELECT name FROM pragma_table_info(?)').pluck().all(table);
}

describe('another tool on the same file', () => {
  test('every table that holds results is covered by these tests and filled', () => {
    const db = foreignConnection();
    expect(tables(db).sort()).toEqual([
      'calibrations',
      'laws',
      'measurements',
      'openings',
      'rig_limits',
      'runs',
      'schema_history',
      'tool_beliefs',
      'trim_events',
    ]);
    for (const table of tables(db)) expect(db.prepare(`SELECT count(*) FROM ${table}`).pluck().get()).not.toBe(0);
  });

  test('cannot change any column of any row', () => {
    const db = foreignConnection();
    for (const table of tables(db)) {
      for (const column of columns(db, table)) {
        expect(() => db.exec(`UPDATE ${table} SET ${column} = ${column}`), `${table}.${column}`).toThrow(
          /^append-only: /,
        );
      }
    }
  });

  test('cannot delete', () => {
    const db = foreignConnection();
    for (const table of tables(db)) expect(() => db.exec(`DELETE FROM ${table}`), table).toThrow(/^append-only: /);
  });

  test('cannot replace a row by inserting over its key', () => {
    const db = foreignConnection();
    for (const table of tables(db)) {
      expect(() => db.exec(`INSERT OR REPLACE INTO ${table} SELECT * FROM ${table}`), table).toThrow(/^append-only: /);
      expect(() => db.exec(`INSERT OR IGNORE INTO ${table} SELECT * FROM ${table}`), table).toThrow(/^append-only: /);
    }
  });

  test('cannot replace a row through any single unique key', () => {
    const db = foreignConnection();
    db.exec(
      'INSERT INTO measurements SELECT 77, point_words, checks, traces, points, readings, samples FROM measurements WHERE run_no = 1',
    );
    const row = columns(db, 'runs').join(', ');
    const withOther = (column: string, value: string) =>
      `INSERT OR REPLACE INTO runs (${row}) SELECT ${row.replace(new RegExp(`\\b${column}\\b`), value)} FROM runs WHERE run_no = 1`;
    expect(() => db.exec(withOther('run_no', '77'))).toThrow(/^append-only: a recorded run/);
    expect(() => db.exec(withOther('run_id', "'other'"))).toThrow(/^append-only: a recorded run/);
  });

  test('cannot add to a recorded run', () => {
    const db = foreignConnection();
    expect(() => db.exec('INSERT INTO measurements SELECT * FROM measurements')).toThrow(/^append-only: /);
  });

  test('leaves everything as recorded after all attempts', () => {
    const db = foreignConnection();
    const before = tables(db).map((table) => db.prepare(`SELECT * FROM ${table}`).all());
    for (const table of tables(db)) {
      for (const sql of [`DELETE FROM ${table}`, `REPLACE INTO ${table} SELECT * FROM ${table}`]) {
        expect(() => db.exec(sql)).toThrow();
      }
    }
    expect(tables(db).map((table) => db.prepare(`SELECT * FROM ${table}`).all())).toEqual(before);
  });
});
