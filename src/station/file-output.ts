/** Writes files that exist whole or not at all, and never over something that is there. */
import { createWriteStream, existsSync } from 'node:fs';
import { mkdir, rename, rm, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { FileExistsError, FileUnwritableError } from './errors.ts';

/** @returns bytes written. @throws FileExistsError, FileUnwritableError; errors of the source pass through. */
export async function writeNewFile(path: string, chunks: AsyncIterable<string>): Promise<number> {
  if (existsSync(path)) throw new FileExistsError(path);
  const temporary = `${path}.unfinished-${process.pid}`;
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
  try {
    await mkdir(dirname(path), { recursive: true });
    await pipeline(Readable.from(counted()), createWriteStream(temporary, { flags: 'w' }));
    await rename(temporary, path);
    return bytes;
  } catch (error) {
    await rm(temporary, { force: true });
    if (sourceFailure !== null) throw sourceFailure;
    throw new FileUnwritableError(path, error);
  }
}

/** A report may be made again: the old one is replaced in one step. */
export async function replaceFile(path: string, text: string): Promise<void> {
  const temporary = `${path}.unfinished-${process.pid}`;
  try {
    await mkdir(dirname(path), { recursive: true });
    await writeFile(temporary, text);
    await rename(temporary, path);
  } catch (error) {
    await rm(temporary, { force: true });
    throw new FileUnwritableError(path, error);
  }
}
