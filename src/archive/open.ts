import { existsSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import Database, { type Database as Connection } from 'better-sqlite3';
import { Archive } from './archive.ts';
import { putInPlace, removeTemporary } from './durable-file.ts';
import {
  ArchiveDamagedError,
  ArchiveError,
  ArchiveFileExistsError,
  ArchiveFolderError,
  ArchiveNewerError,
  ArchiveNotFoundError,
  NotAnArchiveError,
} from './errors.ts';
import { checkDatabase, type IntegrityDepth } from './integrity.ts';
import { applicationId, type MigrationContext, migrate, userVersion } from './migrate.ts';
import { archiveVersion, migrations } from './migrations/index.ts';
import { checkRuntime } from './runtime.ts';
import { archiveError } from './sqlite-errors.ts';

export interface OpenOptions {
  readonly programVersion: string;
  readonly now: () => Date;
  /** How long to wait for another program's write, ms; 5000 unless told. */
  readonly busyTimeoutMs?: number;
  /** Check at start; quick unless told. */
  readonly integrity?: IntegrityDepth;
  /** False: only open what exists. True unless told. */
  readonly create?: boolean;
}

/**
 * Opens the archive at `path`, creates it if nothing is there, and brings an older one up to date after copying it
 * beside itself (`<path>.version-1-<time>.backup`). A refusal changes nothing.
 * @throws ArchiveRuntimeError, ArchiveNotFoundError, ArchiveNewerError, ArchiveDamagedError, NotAnArchiveError,
 *   ArchiveBusyError, ArchiveFolderError, ArchiveFullError, ArchiveStorageError.
 */
export function openArchive(path: string, options: OpenOptions): Archive {
  checkRuntime();
  const absolute = resolve(path);
  const context: MigrationContext = { path: absolute, programVersion: options.programVersion, now: options.now };
  let db: Connection | null = null;
  try {
    checkPlace(absolute);
    if (!existsSync(absolute)) {
      if (options.create === false) throw new ArchiveNotFoundError(absolute);
      createArchive(context);
    }
    db = new Database(absolute, { fileMustExist: true, timeout: options.busyTimeoutMs ?? 5000 });
    recognise(db, context);
    configure(db, absolute);
    checkWritable(db);
    refuseDamaged(db, context, options.integrity ?? 'quick');
    if (userVersion(db) < archiveVersion) bringUpToDate(db, context);
    return new Archive(db, absolute, options.now);
  } catch (error) {
    db?.close();
    throw archiveError(error, absolute);
  }
}

function checkPlace(path: string): void {
  if (path !== path.trim()) throw new ArchiveFolderError(path, 'its name begins or ends with a space');
  const folder = dirname(path);
  if (!existsSync(folder)) throw new ArchiveFolderError(path, `the folder ${folder} does not exist`);
  // Only looked at, never opened: closing a handle of our own would drop SQLite's locks on the file.
  const found = statSync(path, { throwIfNoEntry: false });
  if (found === undefined) {
    if (existsSync(`${path}-wal`)) {
      const finding = 'the main file is missing but its companion ending in -wal is there and may hold results';
      throw new ArchiveDamagedError(path, [finding]);
    }
    return;
  }
  if (!found.isFile()) throw new NotAnArchiveError(path, 'it is not a file');
  if (found.size === 0)
    throw new ArchiveDamagedError(path, ['the file is empty; remove it if no archive was ever here']);
}

/** Made whole beside its place, then named: a half-made archive is never found under the real name. */
function createArchive(context: MigrationContext): void {
  const temporary = `${context.path}.unfinished-${process.pid}`;
  try {
    removeTemporary(temporary);
    const db = new Database(temporary);
    try {
      configure(db, context.path);
      migrate(db, migrations, context);
    } finally {
      db.close();
    }
    putInPlace(temporary, context.path);
  } catch (error) {
    // Another process was first: its archive is as good.
    if (!(error instanceof ArchiveFileExistsError)) throw error;
  } finally {
    removeTemporary(temporary);
  }
}

function recognise(db: Connection, context: MigrationContext): void {
  const found = Number(db.pragma('application_id', { simple: true }));
  if (found !== applicationId) throw new NotAnArchiveError(context.path, "it is another program's SQLite database");
  const version = userVersion(db);
  if (version > archiveVersion) {
    throw new ArchiveNewerError(context.path, version, archiveVersion, writerOf(db), context.programVersion);
  }
  if (version < 1) throw new ArchiveDamagedError(context.path, [`it says archive version ${version}`]);
}

/** The program version that last migrated a newer archive, if that still can be read. */
function writerOf(db: Connection): string | null {
  try {
    const statement = db.prepare<[], string>(
      'SELECT program_version FROM schema_history ORDER BY version DESC LIMIT 1',
    );
    return statement.pluck().get() ?? null;
  } catch {
    // A newer form may keep its history elsewhere; the refusal then names the two archive versions only.
    return null;
  }
}

function configure(db: Connection, path: string): void {
  const journal = db.pragma('journal_mode = WAL', { simple: true });
  // Some network drives cannot share memory between processes; SQLite then stays in its old mode without an error.
  if (journal !== 'wal') throw new ArchiveFolderError(path, 'this drive does not support a write-ahead log');
  // The library's default for WAL is NORMAL, which may lose the last commits on a power cut.
  db.pragma('synchronous = FULL');
  db.pragma('fullfsync = ON');
  db.pragma('checkpoint_fullfsync = ON');
  db.pragma('foreign_keys = ON');
  db.pragma('recursive_triggers = ON');
  db.pragma('trusted_schema = OFF');
  db.pragma('cell_size_check = ON');
}

function checkWritable(db: Connection): void {
  db.exec('BEGIN IMMEDIATE');
  db.exec('ROLLBACK');
}

function refuseDamaged(db: Connection, context: MigrationContext, depth: IntegrityDepth): void {
  // An older form cannot be compared with today's tables; its structure can be checked all the same.
  const findings =
    userVersion(db) === archiveVersion
      ? checkDatabase(db, depth).findings
      : (db.pragma('integrity_check') as readonly { integrity_check: string }[])
          .map((row) => row.integrity_check)
          .filter((text) => text !== 'ok');
  if (findings.length > 0) throw new ArchiveDamagedError(context.path, findings);
}

function bringUpToDate(db: Connection, context: MigrationContext): void {
  const stamp = context.now().toISOString().replace(/[:.]/g, '-');
  const copy = `${context.path}.version-${userVersion(db)}-${stamp}.backup`;
  const temporary = `${copy}.unfinished-${process.pid}`;
  try {
    removeTemporary(temporary);
    db.prepare('VACUUM INTO ?').run(temporary);
    putInPlace(temporary, copy);
  } finally {
    removeTemporary(temporary);
  }
  try {
    migrate(db, migrations, context);
  } catch (error) {
    if (error instanceof ArchiveError) throw error;
    throw archiveError(error, context.path);
  }
  refuseDamaged(db, context, 'full');
}
