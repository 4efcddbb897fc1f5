/** A folder for one bench whose first start is over: a test begins where an operator begins the day. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Archive } from '../../src/archive/archive.ts';
import { openArchive } from '../../src/archive/open.ts';
import { writePreferences } from '../../src/station/settings-desk.ts';

export interface BenchFolder {
  readonly folder: string;
  readonly archivePath: string;
  /** Reads the archive from outside, while no station or while one is working with it. */
  read<T>(what: (archive: Archive) => T): T;
  remove(): Promise<void>;
}

export async function benchFolder(): Promise<BenchFolder> {
  const folder = await mkdtemp(join(tmpdir(), 'faderwright-bench-'));
  const archivePath = join(folder, 'bench.sqlite');
  const read = <T>(what: (archive: Archive) => T): T => {
    const archive = openArchive(archivePath, { programVersion: 'test', now: () => new Date() });
    try {
      return what(archive);
    } finally {
      archive.close();
    }
  };
  read((archive) => writePreferences(archive, { firstStartDone: true, operators: ['KD', 'MB'] }));
  return {
    folder,
    archivePath,
    read,
    remove: () => rm(folder, { recursive: true, force: true, maxRetries: 5 }),
  };
}
