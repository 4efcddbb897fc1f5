/** Makes sure that the folder of the archive exists before the archive is opened. */
import { mkdirSync } from 'node:fs';
import { dirname } from 'node:path';

export class ArchivePlaceError extends Error {
  readonly code = 'archive.folder';
  readonly userFixable = true;
  override readonly name = 'ArchivePlaceError';
}

export function prepareArchiveFolder(path: string): void {
  try {
    mkdirSync(dirname(path), { recursive: true });
  } catch (error) {
    throw new ArchivePlaceError(
      `Cannot make the folder for ${path}: ${error instanceof Error ? error.message : String(error)}. Give another place with --archive.`,
      { cause: error },
    );
  }
}
