import { spawnSync } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, readdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import { Archive } from '../../src/archive/archive.ts';
import {
  ArchiveBusyError,
  ArchiveClosedError,
  ArchiveDamagedError,
  ArchiveFolderError,
  ArchiveFullError,
  ArchiveNewerError,
  ArchiveNotFoundError,
  ArchiveRuntimeError,
  NotAnArchiveError,
} from '../../src/archive/errors.ts';
import { archiveVersion } from '../../src/archive/migrations/index.ts';
import { openArchive } from '../../src/archive/open.ts';
import { checkRuntime } from '../../src/archive/runtime.ts';
import { exampleRun } from './example-runs.ts';
import { filled, folder, opened, options, thrownBy } from './places.ts';

/** A closed archive of `runs` runs. */
function archiveFile(runs = 3): string {
  const archive = filled();
  for (let i = 0; i < runs; i += 1) archive.recordRun(exampleRun(i));
  archive.close();
  return archive.path;
}

function withDatabase(path: string, action: (db: Database.Database) => void): void {
  const db = new Database(path);
  try {
    action(db);
  } finally {
    db.close();
  }
}

/** Opening must fail and leave every byte and every file of the folder as it was. */
function refusalOf(path: string, changed = {}): unknown {
  const before = readFileSync(path);
  const error = thrownBy(() => openArchive(path, { ...options, ...changed }));
  expect(readFileSync(path).equals(before)).toBe(true);
  expect(readdirSync(join(path, '..'))).toEqual([path.slice(path.lastIndexOf('/') + 1)]);
  return error;
}

describe('opening', () => {
  test('makes a new archive of the current version and leaves nothing else behind', () => {
    const path = join(folder(), 'bench.db');
    opened(path).close();
    expect(readdirSync(join(path, '..'))).toEqual(['bench.db']);
    const archive = opened(path);
    expect(archive.version).toBe(archiveVersion);
    expect(archive.checkIntegrity('full').findings).toEqual([]);
  });

  test('does not make one when told to open only', () => {
    const path = join(folder(), 'bench.db');
    expect(thrownBy(() => openArchive(path, { ...options, create: false }))).toBeInstanceOf(ArchiveNotFoundError);
    expect(existsSync(path)).toBe(false);
  });

  test('names both versions when the archive is newer', () => {
    const path = archiveFile();
    withDatabase(path, (db) => {
      const insert = 'INSERT INTO schema_history VALUES (?, ?, ?, ?)';
      db.prepare(insert).run(99, 'later', '2031-01-01T00:00:00.000Z', '7.3.1');
      db.pragma('user_version = 99');
    });
    const error = refusalOf(path);
    expect(error).toBeInstanceOf(ArchiveNewerError);
    expect(error).toMatchObject({ foundVersion: 99, knownVersion: archiveVersion, userFixable: true });
    expect(String(error)).toMatch(
      /archive version 99 \(written by program version 7\.3\.1\).*version 0\.1\.0.*up to 3/,
    );
  });

  test('refuses what is not a database', () => {
    const path = join(folder(), 'notes.txt');
    writeFileSync(path, 'Measured three faders today, all well.\n'.repeat(100));
    expect(refusalOf(path)).toBeInstanceOf(NotAnArchiveError);
  });

  test("refuses another program's database", () => {
    const path = join(folder(), 'other.db');
    withDatabase(path, (db) => db.exec('CREATE TABLE runs (a); INSERT INTO runs VALUES (1)'));
    const error = refusalOf(path);
    expect(error).toBeInstanceOf(NotAnArchiveError);
    expect(String(error)).toMatch(/another program's/);
  });

  test('refuses a folder in place of a file', () => {
    const path = join(folder(), 'bench.db');
    mkdirSync(path);
    expect(thrownBy(() => openArchive(path, options))).toBeInstanceOf(NotAnArchiveError);
  });

  test('refuses an empty file: an archive may have been there', () => {
    const path = join(folder(), 'bench.db');
    writeFileSync(path, '');
    expect(refusalOf(path)).toBeInstanceOf(ArchiveDamagedError);
  });

  test('refuses to start anew beside the companion of a lost main file', () => {
    const path = join(folder(), 'bench.db');
    writeFileSync(`${path}-wal`, 'frames');
    expect(thrownBy(() => openArchive(path, options))).toBeInstanceOf(ArchiveDamagedError);
    expect(existsSync(path)).toBe(false);
  });

  test.each([0.9, 0.5, 0.1])('refuses an archive truncated to %f of its length', (share) => {
    const path = archiveFile(40);
    truncateSync(path, Math.floor((readFileSync(path).length * share) / 4096) * 4096 + 100);
    expect(refusalOf(path)).toBeInstanceOf(ArchiveDamagedError);
  });

  test('refuses an archive with overwritten pages', () => {
    const path = archiveFile(40);
    const bytes = readFileSync(path);
    for (let page = 2; page < bytes.length / 4096; page += 3) bytes.fill(0xa5, page * 4096, page * 4096 + 200);
    writeFileSync(path, bytes);
    expect(refusalOf(path)).toBeInstanceOf(ArchiveDamagedError);
  });

  test('refuses an archive whose protection was taken away', () => {
    const path = archiveFile();
    withDatabase(path, (db) => db.exec('DROP TRIGGER runs_never_changed'));
    expect(String(refusalOf(path))).toMatch(/the trigger runs_never_changed is missing/);
  });

  test('refuses an archive with a trigger that does not belong there', () => {
    const path = archiveFile();
    withDatabase(path, (db) => db.exec('CREATE TRIGGER odd AFTER INSERT ON runs BEGIN SELECT 1; END'));
    expect(String(refusalOf(path))).toMatch(/the trigger odd does not belong here/);
  });

  test('says so when another program holds the archive', () => {
    const path = archiveFile();
    const holder = new Database(path);
    onTestFinished(() => {
      holder.close();
    });
    holder.exec('BEGIN IMMEDIATE');
    expect(thrownBy(() => openArchive(path, { ...options, busyTimeoutMs: 20 }))).toBeInstanceOf(ArchiveBusyError);
    holder.exec('ROLLBACK');
    expect(opened(path).countRuns()).toBe(3);
  });

  test('says so when the folder is missing', () => {
    const error = thrownBy(() => openArchive(join(folder(), 'nowhere', 'bench.db'), options));
    expect(error).toBeInstanceOf(ArchiveFolderError);
    expect(String(error)).toMatch(/nowhere does not exist/);
  });

  test('says so when the user may not write in the folder', () => {
    const place = folder();
    chmodSync(place, 0o555);
    // Root may write anywhere: then another user has to try, in a process of its own.
    const isRoot = process.getuid?.() === 0;
    const child = spawnSync(
      process.execPath,
      [join(import.meta.dirname, 'opening-child.ts'), join(place, 'bench.db')],
      { encoding: 'utf8', ...(isRoot ? { uid: 65_534, gid: 65_534 } : {}) },
    );
    chmodSync(place, 0o755);
    expect(child.stdout).toBe('archiveFolder\n');
    expect(readdirSync(place)).toEqual([]);
  });
});

describe('the runtime', () => {
  test('is refused by version when it cannot load the database library', () => {
    const error = thrownBy(() => checkRuntime({ node: '20.20.0', napi: '9' }));
    expect(error).toBeInstanceOf(ArchiveRuntimeError);
    expect(String(error)).toMatch(/needs Node 22\.14 or newer.*this is Node 20\.20\.0/);
    expect(() => checkRuntime({ node: '22.14.0', napi: '10' })).not.toThrow();
  });
});

describe('a full disk', () => {
  test('undoes the run whole, keeps what was recorded and goes on when there is room again', () => {
    const path = archiveFile(3);
    const db = new Database(path);
    const archive = new Archive(db, path, options.now);
    onTestFinished(() => archive.close());
    const pages = Number(db.pragma('page_count', { simple: true }));
    db.pragma(`max_page_count = ${pages + 20}`);
    let recorded = 3;
    let refusal: unknown = null;
    for (let i = 3; i < 200 && refusal === null; i += 1) {
      try {
        archive.recordRun(exampleRun(i));
        recorded += 1;
      } catch (error) {
        refusal = error;
      }
    }
    expect(refusal).toBeInstanceOf(ArchiveFullError);
    expect(recorded).toBeGreaterThan(3);
    expect(archive.countRuns()).toBe(recorded);
    expect(archive.checkIntegrity('full').findings).toEqual([]);
    db.pragma('max_page_count = 1000000');
    archive.recordRun(exampleRun(recorded));
    archive.close();
    expect(opened(path).countRuns()).toBe(recorded + 1);
  });
});

describe('a closed archive', () => {
  test('says that it is closed', () => {
    const archive = filled();
    archive.close();
    archive.close();
    expect(thrownBy(() => archive.recordRun(exampleRun(1)))).toBeInstanceOf(ArchiveClosedError);
  });
});
