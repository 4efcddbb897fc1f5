import Database from 'better-sqlite3';
import {
  ArchiveAppendOnlyError,
  ArchiveBusyError,
  ArchiveClosedError,
  ArchiveDamagedError,
  ArchiveDefectError,
  ArchiveError,
  ArchiveFolderError,
  ArchiveFullError,
  ArchiveStorageError,
  NotAnArchiveError,
} from './errors.ts';

/** Text that opens every refusal of an append-only trigger. */
export const appendOnlyPrefix = 'append-only: ';

/** SQLite's extended result code as text, e.g. `SQLITE_BUSY_SNAPSHOT`; null for anything that is not SQLite's. */
export function sqliteCode(error: unknown): string | null {
  return error instanceof Database.SqliteError ? error.code : null;
}

/** The archive's own error for what SQLite or the file system threw; the original stays as `cause`. */
export function archiveError(error: unknown, path: string): ArchiveError {
  if (error instanceof ArchiveError) return error;
  const detail = error instanceof Error ? error.message : String(error);
  const code = sqliteCode(error);
  if (code === null) return fileSystemError(error, path, detail);
  if (code === 'SQLITE_NOTADB') return new NotAnArchiveError(path, 'it is not an SQLite file', error);
  if (code.startsWith('SQLITE_CORRUPT')) return new ArchiveDamagedError(path, [detail], error);
  if (code.startsWith('SQLITE_BUSY') || code.startsWith('SQLITE_LOCKED'))
    return new ArchiveBusyError(path, detail, error);
  if (/^SQLITE_(READONLY|CANTOPEN|PERM|AUTH)/.test(code)) return new ArchiveFolderError(path, detail, error);
  if (code === 'SQLITE_FULL') return new ArchiveFullError(path, error);
  if (code.startsWith('SQLITE_IOERR')) return new ArchiveStorageError(path, `${code}: ${detail}`, error);
  if (code === 'SQLITE_CONSTRAINT_TRIGGER' && detail.startsWith(appendOnlyPrefix)) {
    return new ArchiveAppendOnlyError(detail, error);
  }
  return new ArchiveDefectError(`The database answered ${code}: ${detail} (${path}).`, error);
}

function fileSystemError(error: unknown, path: string, detail: string): ArchiveError {
  const code = typeof error === 'object' && error !== null && 'code' in error ? String(error.code) : '';
  if (/^(EACCES|EPERM|EROFS|ENOENT|ENOTDIR|EISDIR|ELOOP|ENAMETOOLONG)$/.test(code)) {
    return new ArchiveFolderError(path, detail, error);
  }
  if (code === 'ENOSPC' || code === 'EDQUOT') return new ArchiveFullError(path, error);
  if (code.startsWith('E')) return new ArchiveStorageError(path, detail, error);
  if (error instanceof TypeError && /directory does not exist/.test(detail)) {
    return new ArchiveFolderError(path, 'the folder does not exist', error);
  }
  if (error instanceof TypeError && /database connection is not open/.test(detail)) return new ArchiveClosedError(path);
  return new ArchiveDefectError(`Unexpected failure at ${path}: ${detail}`, error);
}
