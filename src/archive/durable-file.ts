/** Putting a finished file in its place: never half there, never over another, on disk when it returns. */
import { closeSync, existsSync, fsyncSync, linkSync, openSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { ArchiveFileExistsError } from './errors.ts';

/**
 * Gives `temporary` its final name.
 * @throws ArchiveFileExistsError if the name is taken; `temporary` is then left for the caller to remove.
 */
export function putInPlace(temporary: string, path: string): void {
  syncFile(temporary);
  try {
    // A link refuses an existing name in one step; a rename would overwrite it.
    linkSync(temporary, path);
    rmSync(temporary);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : null;
    if (code === 'EEXIST') throw new ArchiveFileExistsError(path);
    if (code !== 'EPERM' && code !== 'ENOTSUP' && code !== 'EOPNOTSUPP' && code !== 'ENOSYS') throw error;
    // File systems without links (FAT sticks).
    if (existsSync(path)) throw new ArchiveFileExistsError(path);
    renameSync(temporary, path);
  }
  syncFolder(dirname(path));
}

/** Removes a temporary database and its companions, whichever exist. */
export function removeTemporary(temporary: string): void {
  for (const ending of ['', '-wal', '-shm', '-journal']) rmSync(temporary + ending, { force: true });
}

function syncFile(path: string): void {
  const file = openSync(path, 'r+');
  try {
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

function syncFolder(path: string): void {
  // Windows has no folder handles to sync; its file systems order the rename themselves.
  if (process.platform === 'win32') return;
  const folder = openSync(path, 'r');
  try {
    fsyncSync(folder);
  } finally {
    closeSync(folder);
  }
}
