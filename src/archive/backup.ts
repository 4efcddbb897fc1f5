import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import Database, { type Database as Connection } from 'better-sqlite3';
import { putInPlace, removeTemporary } from './durable-file.ts';
import { ArchiveDamagedError, ArchiveFileExistsError } from './errors.ts';
import { checkDatabase } from './integrity.ts';
import { archiveError } from './sqlite-errors.ts';

export interface BackupProgress {
  readonly pagesDone: number;
  readonly pagesTotal: number;
}

export interface BackupResult {
  readonly path: string;
  readonly runs: number;
  readonly runsVerified: number;
}

/** Pages copied between two looks at the event loop: 4 MB. */
const pagesPerStep = 1000;

/**
 * Copies the live archive while it goes on being used, checks the copy in full and only then gives it its name.
 * @throws ArchiveFileExistsError (never overwrites), ArchiveFolderError, ArchiveFullError, ArchiveDamagedError.
 */
export async function backUp(
  db: Connection,
  toPath: string,
  onProgress?: (progress: BackupProgress) => void,
): Promise<BackupResult> {
  const path = resolve(toPath);
  if (existsSync(path)) throw new ArchiveFileExistsError(path);
  const temporary = `${path}.unfinished-${process.pid}`;
  try {
    removeTemporary(temporary);
    await db.backup(temporary, {
      progress: ({ totalPages, remainingPages }) => {
        onProgress?.({ pagesDone: totalPages - remainingPages, pagesTotal: totalPages });
        return pagesPerStep;
      },
    });
    const checked = checkCopy(temporary, path);
    putInPlace(temporary, path);
    return { path, ...checked };
  } catch (error) {
    throw archiveError(error, path);
  } finally {
    removeTemporary(temporary);
  }
}

function checkCopy(temporary: string, path: string): { runs: number; runsVerified: number } {
  const copy = new Database(temporary, { fileMustExist: true });
  try {
    const { findings, runsVerified, runsWithoutChecksum } = checkDatabase(copy, 'full');
    if (findings.length > 0) throw new ArchiveDamagedError(path, findings);
    return { runs: runsVerified + runsWithoutChecksum, runsVerified };
  } finally {
    copy.close();
  }
}
