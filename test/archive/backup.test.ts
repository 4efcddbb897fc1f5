import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, test } from 'vitest';
import { ArchiveFileExistsError, ArchiveFolderError } from '../../src/archive/errors.ts';
import { exampleRun } from './example-runs.ts';
import { filled, folder, opened } from './places.ts';

describe('a backup', () => {
  test('is a whole archive of its own, checked, with nothing left beside it', async () => {
    const archive = filled();
    for (let i = 0; i < 300; i += 1) archive.recordRun(exampleRun(i));
    const place = folder();
    const seen: number[] = [];
    const result = await archive.backup(join(place, 'copy.db'), ({ pagesDone, pagesTotal }) => {
      seen.push(pagesDone / pagesTotal);
    });
    expect(result).toEqual({ path: join(place, 'copy.db'), runs: 300, runsVerified: 300 });
    expect(readdirSync(place)).toEqual(['copy.db']);
    expect(seen.length).toBeGreaterThan(0);
    expect(seen).toEqual([...seen].sort((a, b) => a - b));
    archive.close();
    const copy = opened(join(place, 'copy.db'), { create: false, integrity: 'full' });
    expect(copy.countRuns()).toBe(300);
    expect(copy.run(exampleRun(299).runId)).toStrictEqual(exampleRun(299));
  });

  test('never overwrites, not even itself', async () => {
    const archive = filled();
    const taken = join(folder(), 'taken.db');
    writeFileSync(taken, 'something else');
    await expect(archive.backup(taken)).rejects.toBeInstanceOf(ArchiveFileExistsError);
    expect(readFileSync(taken, 'utf8')).toBe('something else');
    await expect(archive.backup(archive.path)).rejects.toBeInstanceOf(ArchiveFileExistsError);
  });

  test('into a missing folder is refused', async () => {
    await expect(filled().backup(join(folder(), 'nowhere', 'copy.db'))).rejects.toBeInstanceOf(ArchiveFolderError);
  });

  test('can be made while runs are being recorded, which go on', async () => {
    const archive = filled();
    for (let i = 0; i < 300; i += 1) archive.recordRun(exampleRun(i));
    let number = 300;
    const target = join(folder(), 'copy.db');
    await archive.backup(target, () => {
      if (number < 320) archive.recordRun(exampleRun(number));
      number += 1;
    });
    expect(archive.checkIntegrity('full').findings).toEqual([]);
    archive.close();
    expect(opened(target).countRuns()).toBeGreaterThanOrEqual(300);
  });
});

describe('the full integrity check', () => {
  test('finds a value that was changed behind the archive', () => {
    const archive = filled();
    for (let i = 0; i < 5; i += 1) archive.recordRun(exampleRun(i));
    archive.close();
    const db = new Database(archive.path);
    const trigger = db
      .prepare<[], string>("SELECT sql FROM sqlite_schema WHERE name = 'measurements_never_changed'")
      .pluck()
      .get();
    db.exec('DROP TRIGGER measurements_never_changed');
    db.exec("UPDATE measurements SET checks = json_replace(checks, '$.value[0]', 96.5) WHERE run_no = 3");
    db.exec(trigger ?? '');
    db.close();
    const again = opened(archive.path);
    expect(again.checkIntegrity('quick').findings).toEqual([]);
    expect(again.checkIntegrity('full')).toMatchObject({
      findings: [`run ${exampleRun(2).runId} is not as it was recorded`],
      runsVerified: 4,
    });
  });
});
