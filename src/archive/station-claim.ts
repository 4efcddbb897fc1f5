import Database, { type Database as Connection } from 'better-sqlite3';
import { ArchiveBusyError } from './errors.ts';
import { archiveError, sqliteCode } from './sqlite-errors.ts';

/**
 * The right to run the station on an archive: one process at a time. Held as a lock of the operating system on a
 * companion file, so it ends with the process however that ends. Without it a second station would take the first one's
 * running measurement for one that was interrupted.
 */
export class StationClaim {
  readonly #lock: Connection;

  /** @throws ArchiveBusyError when another process holds it and has not let it go within `waitMs`. */
  constructor(archivePath: string, waitMs: number) {
    const path = `${archivePath}-station`;
    let lock: Connection | null = null;
    try {
      lock = new Database(path, { timeout: waitMs });
      lock.pragma('journal_mode = MEMORY');
      lock.exec('BEGIN EXCLUSIVE');
      this.#lock = lock;
    } catch (error) {
      lock?.close();
      if (sqliteCode(error)?.startsWith('SQLITE_BUSY') === true) {
        throw new ArchiveBusyError(archivePath, 'another station is working with it', error);
      }
      throw archiveError(error, path);
    }
  }

  release(): void {
    if (this.#lock.open) this.#lock.close();
  }
}
