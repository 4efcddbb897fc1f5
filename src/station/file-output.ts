/** Writes files that exist whole or not at all, and never over something that is there. */
import { randomUUID } from 'node:crypto';
import { createWriteStream, existsSync, rmSync } from 'node:fs';
import { link, rename, rm, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { makeFolder } from './disk.ts';
import { FileExistsError, FileUnwritableError } from './errors.ts';

/** Being written just now; a process that ends in the middle takes them along. */
const unfinished = new Set<string>();
process.on('exit', () => {
  for (const path of unfinished) rmSync(path, { force: true });
});

/** @returns bytes written. @throws FileExistsError, FileUnwritableError; errors of the source pass through. */
export async function writeNewFile(path: string, chunks: AsyncIterable<string>): Promise<number> {
  if (existsSync(path)) throw new FileExistsError(path);
  let bytes = 0;
  let sourceFailure: unknown = null;
  async function* counted(): AsyncGenerator<string> {
    try {
      for await (const chunk of chunks) {
        bytes += Buffer.byteLength(chunk);
        yield chunk;
      }
    } catch (error) {
      sourceFailure = error;
      throw error;
    }
  }
  await beside(path, async (temporary) => {
    try {
      await pipeline(Readable.from(counted()), createWriteStream(temporary, { flags: 'wx' }));
    } catch (error) {
      if (sourceFailure !== null) throw sourceFailure;
      throw new FileUnwritableError(path, error);
    }
    await nameOnce(temporary, path);
  });
  return bytes;
}

/** A report may be made again: the old one is replaced in one step. */
export async function replaceFile(path: string, text: string): Promise<void> {
  await beside(path, async (temporary) => {
    try {
      await writeFile(temporary, text, { flag: 'wx' });
      await rename(temporary, path);
    } catch (error) {
      throw new FileUnwritableError(path, error);
    }
  });
}

/** Hands in a name of its own in the folder of `path`; whatever is left under it afterwards is removed. */
async function beside(path: string, work: (temporary: string) => Promise<void>): Promise<void> {
  try {
    makeFolder(dirname(path));
  } catch (error) {
    throw new FileUnwritableError(path, error);
  }
  const temporary = `${path}.unfinished-${randomUUID().slice(0, 8)}`;
  unfinished.add(temporary);
  try {
    await work(temporary);
  } finally {
    // What hinders the removal has hindered the writing too, and that is told.
    await rm(temporary, { force: true }).catch(() => {});
    unfinished.delete(temporary);
  }
}

/** A link refuses a name that was taken meanwhile; a rename would overwrite it. */
async function nameOnce(temporary: string, path: string): Promise<void> {
  try {
    await link(temporary, path);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : '';
    if (code === 'EEXIST') throw new FileExistsError(path);
    if (!['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS'].includes(code)) throw new FileUnwritableError(path, error);
    // File systems without links (FAT sticks).
    if (existsSync(path)) throw new FileExistsError(path);
    await rename(temporary, path);
  }
}
