/** What the file system says, in a person's words, and folders made one by one. */
import { mkdirSync, statSync } from 'node:fs';
import { dirname } from 'node:path';

const words: Readonly<Record<string, string>> = {
  EACCES: 'this user has no right to it',
  EBUSY: 'another program holds it',
  EDQUOT: "this user's share of the disk is used up",
  EEXIST: 'something of that name is there already',
  EFBIG: 'the file is too large for that disk',
  EIO: 'the disk answered with an error',
  EISDIR: 'it is a folder',
  ELOOP: 'its links lead in a circle',
  EMFILE: 'too many files are open',
  ENAMETOOLONG: 'the name is too long',
  ENOENT: 'there is no such file or folder',
  ENOSPC: 'the disk is full',
  ENOTDIR: 'a part of its path is a file, not a folder',
  EPERM: 'this user has no right to it',
  EROFS: 'that disk can only be read',
};

/** Why a file could not be read or written, as the middle of a sentence. */
export function diskWords(error: unknown): string {
  const code = typeof error === 'object' && error !== null && 'code' in error ? String(error.code) : '';
  return words[code] ?? (error instanceof Error ? error.message : String(error));
}

/**
 * Makes a folder and those above it. One by one: the recursive form of Node 24 never returns where the system answers
 * "no such folder" to every attempt, as in `/proc`.
 * @throws the file system's own error
 */
export function makeFolder(path: string): void {
  const found = statSync(path, { throwIfNoEntry: false });
  if (found?.isDirectory()) return;
  const above = dirname(path);
  if (above !== path && found === undefined) makeFolder(above);
  try {
    mkdirSync(path);
  } catch (error) {
    // Another process was first.
    if (statSync(path, { throwIfNoEntry: false })?.isDirectory()) return;
    throw error;
  }
}
