import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import { ArchiveDamagedError } from '../../src/archive/errors.ts';
import { applicationId, migrate, userVersion } from '../../src/archive/migrate.ts';
import { archiveVersion, migrations } from '../../src/archive/migrations/index.ts';
import { openArchive } from '../../src/archive/open.ts';
import type { RunRecord } from '../../src/archive/records.ts';
import { trimEvent } from './example-trim.ts';
import { folder, opened, options, thrownBy } from './places.ts';
import { version1Database } from './version-1-database.ts';
import { version2Schema } from './version-2-schema.ts';

function version1File(): string {
  const path = join(folder(), 'bench.db');
  const db = new Database(path);
  db.pragma('journal_mode = WAL');
  db.exec(`BEGIN;${version1Database}COMMIT;`);
  db.close();
  return path;
}

function tableRows(path: string): Record<string, unknown[]> {
  const db = new Database(path, { readonly: true });
  const tables = ['laws', 'calibrations', 'rig_limits', 'measurements', 'settings'];
  const rows = Object.fromEntries(tables.map((table) => [table, db.prepare(`SELECT * FROM ${table}`).all()]));
  const runs = db.prepare<[], Record<string, unknown>>('SELECT * FROM runs ORDER BY run_no').all();
  db.close();
  // What version 2 added to each run.
  return { ...rows, runs: runs.map(({ started_ms, checksum, ...kept }) => kept) };
}

const firstRun: RunRecord = {
  runId: '6f1c1c1e-0000-4000-8000-000000000001',
  serial: 'PF104-26-10-00001',
  batch: 'TFW-2610',
  job: 'measure',
  operator: 'KM',
  startedAt: '2026-03-02T08:00:00.250Z',
  endedAt: '2026-03-02T08:00:18.500Z',
  outcome: 'completed',
  outcomeReason: null,
  verdict: 'pass',
  verdictReason: 'all points inside the band by more than U',
  lawId: 'PF-104',
  lawRevision: 1,
  calibrationId: 'cal-VR0001-a',
  rig: { model: 'bench-1', serial: 'VR0001', firmware: '1.4.2', protocol: 1, isVirtual: true },
  programVersion: '0.0.9',
  rigLimits: { stepsPerMm: 80, travelMaxUm: 110_000 },
  closedEndMm: 0.8,
  openEndMm: 102.9,
  worstPointIndex: 0,
  worstDeviationDb: -0.00892,
  readings: [
    {
      sequence: 0,
      purpose: 'point',
      pointIndex: 0,
      direction: 'up',
      targetMm: 16,
      positionUm: 16_800,
      rigClockUs: 4_294_967_297,
      integrationUs: 20_000,
      conversions: 4,
      wiperCounts: 83_886.0625,
      wiperSdCounts: 2.5,
      trackCounts: 8_380_001.75,
      overRange: false,
      travelMm: 16.0123,
      ratio: 0.010010271,
      lossDb: 39.99108,
    },
    {
      sequence: 1,
      purpose: 'point',
      pointIndex: 0,
      direction: 'down',
      targetMm: 16,
      positionUm: 16_800,
      rigClockUs: 4_295_967_297,
      integrationUs: 20_000,
      conversions: 4,
      wiperCounts: 0.1,
      wiperSdCounts: null,
      trackCounts: 8_380_001.75,
      overRange: true,
      travelMm: null,
      ratio: null,
      lossDb: null,
    },
  ],
  points: [
    {
      pointIndex: 0,
      travelMm: 16,
      lawDb: 40,
      lowerDb: -2,
      upperDb: null,
      upDeviationDb: -0.00892,
      downDeviationDb: null,
      deviationDb: -0.00892,
      uncertaintyDb: 0.04,
      playMm: null,
      zone: 'pass',
      reason: null,
    },
  ],
  checks: [
    {
      name: 'closedLoss',
      unit: 'dB',
      value: 96.4,
      lower: 80,
      upper: null,
      uncertainty: 0.4,
      zone: 'pass',
      reason: null,
    },
  ],
  traces: [
    {
      purpose: 'closedEnd',
      samplePeriodUs: 1000,
      trackCounts: 8_380_000.5,
      counter: Uint32Array.of(0, 2),
      positionUm: Int32Array.of(-1, -10),
      rigClockUs: Float64Array.of(1, 2.5),
      wiperCounts: Int32Array.of(5, -5),
    },
  ],
};

describe('an archive of version 1', () => {
  test('is brought up to date without losing or altering a value', () => {
    const path = version1File();
    const before = tableRows(path);
    const archive = opened(path);
    expect(archive.version).toBe(archiveVersion);
    expect(archive.run(firstRun.runId)).toStrictEqual(firstRun);
    expect(archive.setting('operators')).toEqual(['KM', 'JT']);
    expect(archive.activeCalibration('VR0001')?.id).toBe('cal-VR0001-a');
    expect(archive.checkIntegrity('full')).toMatchObject({ findings: [], runsWithoutChecksum: 2 });
    archive.close();
    expect(tableRows(path)).toEqual(before);
  });

  test('finds its old runs in time order, whatever the spelling of the time', () => {
    const archive = opened(version1File());
    expect(archive.findRuns().map((run) => run.startedAt)).toEqual([
      '2026-03-02T08:00:00.250Z',
      '2026-03-02T08:00:00Z',
    ]);
    expect(archive.findRuns({ from: '2026-03-02T08:00:00.100Z' })).toHaveLength(1);
    expect(archive.runsOfSerial('PF104-26-10-"Ä\'00002')).toHaveLength(1);
  });

  test('takes new runs beside the old ones', () => {
    const archive = opened(version1File());
    archive.recordRun({ ...firstRun, runId: 'second', startedAt: '2026-11-25T10:00:00.000Z' });
    expect(archive.countAttempts(firstRun.serial, 'PF-104')).toMatchObject({ total: 2, pass: 2 });
    expect(archive.checkIntegrity('full')).toMatchObject({ findings: [], runsVerified: 1, runsWithoutChecksum: 2 });
  });

  test('is copied beside itself first, and the copy is the old archive', () => {
    const path = version1File();
    const before = tableRows(path);
    opened(path).close();
    const copy = readdirSync(join(path, '..')).filter((name) => name !== 'bench.db');
    expect(copy).toEqual(['bench.db.version-1-2026-11-25T10-00-00-000Z.backup']);
    const copyPath = join(path, '..', copy[0] ?? '');
    expect(tableRows(copyPath)).toEqual(before);
    const db = new Database(copyPath, { readonly: true });
    expect(userVersion(db)).toBe(1);
    expect(db.pragma('application_id', { simple: true })).toBe(applicationId);
    db.close();
  });

  test('is opened without another copy the second time', () => {
    const path = version1File();
    opened(path).close();
    opened(path).close();
    expect(readdirSync(join(path, '..'))).toHaveLength(2);
  });

  test('stays version 1, whole, when the migration fails half-way', () => {
    const path = version1File();
    const before = tableRows(path);
    const db = new Database(path);
    onTestFinished(() => {
      db.close();
    });
    const pages = Number(db.pragma('page_count', { simple: true }));
    db.pragma(`max_page_count = ${pages + 3}`);
    const context = { path, programVersion: '0.1.0', now: options.now };
    expect(() => migrate(db, migrations, context)).toThrow(/full/);
    expect(userVersion(db)).toBe(1);
    expect(tableRows(path)).toEqual(before);
  });

  test('is refused when a row refers to something that is gone', () => {
    const path = version1File();
    const db = new Database(path);
    db.pragma('foreign_keys = OFF');
    db.exec(`INSERT INTO runs (run_no, run_id, serial, job, operator, started_at, ended_at, outcome, verdict, verdict_reason, law_id, law_revision, program_version)
      SELECT 9, 'x', serial, job, operator, started_at, ended_at, outcome, verdict, verdict_reason, 'gone', 1, program_version FROM runs WHERE run_no = 1`);
    db.close();
    const error = thrownBy(() => openArchive(path, options));
    expect(error).toBeInstanceOf(ArchiveDamagedError);
    expect(String(error)).toMatch(/runs refers to a missing row of (laws|measurements)/);
    const after = new Database(path);
    expect(userVersion(after)).toBe(1);
    after.close();
  });
});

describe('the migrations', () => {
  test('are numbered without a gap', () => {
    expect(migrations.map((migration) => migration.version)).toEqual(migrations.map((_, index) => index + 1));
  });

  test('make from nothing what they made when version 1 was shipped', () => {
    const shipped = new Database(':memory:');
    shipped.exec(`BEGIN;${version1Database}COMMIT;`);
    const made = new Database(':memory:');
    migrate(made, migrations.slice(0, 1), { path: ':memory:', programVersion: '0.0.9', now: options.now });
    const schema = (db: Database.Database): unknown[] => db.prepare('SELECT type, name, sql FROM sqlite_schema').all();
    expect(schema(made)).toEqual(schema(shipped));
    made.close();
    shipped.close();
  });

  test('make from version 1 what they made when version 2 was shipped', () => {
    const made = new Database(':memory:');
    made.exec(`BEGIN;${version1Database}COMMIT;`);
    migrate(made, migrations.slice(0, 2), { path: ':memory:', programVersion: '0.1.0', now: options.now });
    const shipped = new Database(':memory:');
    shipped.exec(version2Schema);
    const schema = (db: Database.Database): unknown[] =>
      db.prepare("SELECT type, name, sql FROM sqlite_schema WHERE name NOT GLOB 'sqlite_*' ORDER BY type, name").all();
    expect(schema(made)).toEqual(schema(shipped));
    made.close();
    shipped.close();
  });
});

describe('an archive of version 2', () => {
  function version2File(): string {
    const path = join(folder(), 'bench.db');
    const db = new Database(path);
    db.pragma('journal_mode = WAL');
    db.exec(`BEGIN;${version1Database}COMMIT;`);
    migrate(db, migrations.slice(0, 2), { path, programVersion: '0.1.0', now: options.now });
    db.close();
    return path;
  }

  test('is brought up to date without losing or altering a value, and then takes trimming', () => {
    const path = version2File();
    const before = tableRows(path);
    const archive = opened(path);
    expect(archive.version).toBe(archiveVersion);
    expect(archive.run(firstRun.runId)).toStrictEqual(firstRun);
    expect(archive.trimEvents(firstRun.serial)).toEqual([]);
    expect(archive.cutNotMeasured()).toEqual([]);
    expect(archive.checkIntegrity('full').findings).toEqual([]);
    archive.close();
    expect(tableRows(path)).toEqual(before);
    const copies = readdirSync(join(path, '..')).filter((name) => name.includes('.version-2-'));
    expect(copies).toHaveLength(1);
    const again = opened(path);
    const run = { ...firstRun, runId: 'trimmed', job: 'trim' as const };
    again.recordRun(run);
    again.recordTrim([trimEvent('measured', run), trimEvent('accepted', run)]);
    expect(again.trimEvents(run.serial).map(({ state }) => state)).toEqual(['measured', 'accepted']);
  });
});
