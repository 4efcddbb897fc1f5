/** Reads a file that the command names: text of a sane size, or a refusal in words. */
import { readFile, stat } from 'node:fs/promises';
import { diskWords } from '../station/disk.ts';
import { UsageError } from './session.ts';

/** Far above any law or certificate. */
const largestFile = 1_000_000;

/** @throws UsageError */
export async function readNamedFile(path: string): Promise<Buffer> {
  let bytes: Buffer;
  try {
    // Looked at first: a device or a disk image is never read whole.
    const found = await stat(path);
    if (found.isDirectory()) throw new UsageError(`Cannot read ${path}: it is a folder. Name a file in it.`);
    if (found.size > largestFile) {
      throw new UsageError(`${path} has ${found.size} bytes; at most ${largestFile} are read. Is it the right file?`);
    }
    if (!found.isFile()) throw new UsageError(`Cannot read ${path}: it is not a plain file. Save it as one first.`);
    bytes = await readFile(path);
  } catch (error) {
    if (error instanceof UsageError) throw error;
    throw new UsageError(`Cannot read ${path}: ${diskWords(error)}. Check the name.`, { cause: error });
  }
  return bytes;
}
