/** Makes sure that the folder of the archive exists before the archive is opened. */
import { dirname } from 'node:path';
import { diskWords, makeFolder } from '../station/disk.ts';

export class ArchivePlaceError extends Error {
  readonly code = 'archive.folder';
  readonly userFixable = true;
  override readonly name = 'ArchivePlaceError';
}

export function prepareArchiveFolder(path: string): void {
  try {
    makeFolder(dirname(path));
  } catch (error) {
    throw new ArchivePlaceError(
      `Cannot make the folder for the database ${path}: ${diskWords(error)}. Give another place with --archive.`,
      { cause: error },
    );
  }
}
