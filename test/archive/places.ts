import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { Archive } from '../../src/archive/archive.ts';
import { type OpenOptions, openArchive } from '../../src/archive/open.ts';
import { exampleCalibration, exampleLaw } from './example-runs.ts';

export const options: OpenOptions = { programVersion: '0.1.0', now: () => new Date('2026-11-25T10:00:00.000Z') };

/** A folder of the test's own, removed afterwards. */
export function folder(): string {
  const path = mkdtempSync(join(tmpdir(), 'faderwright-archive-'));
  onTestFinished(() => rmSync(path, { recursive: true, force: true }));
  return path;
}

export function opened(path: string, changed: Partial<OpenOptions> = {}): Archive {
  const archive = openArchive(path, { ...options, ...changed });
  onTestFinished(() => archive.close());
  return archive;
}

/** An archive with one law revision and one calibration. */
export function filled(path = join(folder(), 'bench.db')): Archive {
  const archive = opened(path);
  archive.storeLaw(exampleLaw);
  archive.storeCalibration(exampleCalibration);
  return archive;
}

/** What `action` threw. */
export function thrownBy(action: () => unknown): unknown {
  try {
    action();
  } catch (error) {
    return error;
  }
  throw new Error('nothing was thrown');
}
