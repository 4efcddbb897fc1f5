import { join } from 'node:path';
import Database from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { DuplicateRunError, RunRefusedError, UnknownReferenceError } from '../../src/archive/errors.ts';
import type { RunRecord } from '../../src/archive/records.ts';
import { anyRun } from './any-run.ts';
import { exampleCalibration, exampleLaw, exampleRun, openingOf, voidRun } from './example-runs.ts';
import { filled, folder, opened, thrownBy } from './places.ts';
import { version1Database } from './version-1-database.ts';

function plain<T extends object>(value: T): T {
  // toStrictEqual tells null-prototype objects apart; content is what counts here.
  return structuredClone(value);
}

describe('a recorded run', () => {
  test('comes back exactly as it was handed in', () => {
    const archive = filled();
    const run = exampleRun(1);
    archive.recordRun(run);
    expect(archive.run(run.runId)).toStrictEqual(run);
  });

  test('comes back exactly whatever texts and numbers it holds', () => {
    const archive = filled();
    fc.assert(
      fc.property(anyRun, (content) => {
        // An id of its own each time: shrinking would come back to the same ids.
        const run = { ...content, runId: `run-${archive.countRuns()}` };
        archive.recordRun(run);
        const back = archive.run(run.runId);
        expect(back).not.toBeNull();
        expect(plain(back as RunRecord)).toStrictEqual(plain(run));
        expect(archive.runsOfSerial(run.serial).map((summary) => summary.runId)).toContain(run.runId);
      }),
      { numRuns: 200 },
    );
    const report = archive.checkIntegrity('full');
    expect(report.findings).toEqual([]);
    expect(report.runsVerified).toBe(archive.countRuns());
  });

  test('is there after closing and opening again', () => {
    const path = join(folder(), 'bench.db');
    const first = filled(path);
    first.recordRun(exampleRun(1));
    first.close();
    expect(opened(path).run(exampleRun(1).runId)).toStrictEqual(exampleRun(1));
  });

  test('is kept under the promised settings, in new, reopened and migrated archives', () => {
    const promised = { journalMode: 'wal', synchronous: 2, foreignKeys: true, recursiveTriggers: true };
    const archive = filled();
    expect(archive.safeguards).toEqual(promised);
    archive.close();
    expect(opened(archive.path).safeguards).toEqual(promised);
    const old = join(folder(), 'old.db');
    const db = new Database(old);
    db.exec(`BEGIN;${version1Database}COMMIT;`);
    db.close();
    expect(opened(old).safeguards).toEqual(promised);
  });

  test('is seen by a second connection at once', () => {
    const archive = filled();
    archive.recordRun(exampleRun(1));
    const other = new Database(archive.path, { readonly: true });
    expect(other.prepare('SELECT count(*) FROM runs').pluck().get()).toBe(1);
    other.close();
  });

  test('is written once', () => {
    const archive = filled();
    archive.recordRun(exampleRun(1));
    const error = thrownBy(() => archive.recordRun(exampleRun(1, { verdict: 'fail', operator: 'XX' })));
    expect(error).toBeInstanceOf(DuplicateRunError);
    expect(error).toMatchObject({ code: 'duplicateRun', runId: exampleRun(1).runId });
    expect(archive.run(exampleRun(1).runId)).toStrictEqual(exampleRun(1));
  });

  test('needs its law revision and its calibration in the archive', () => {
    const archive = opened(join(folder(), 'bench.db'));
    expect(thrownBy(() => archive.recordRun(exampleRun(1)))).toBeInstanceOf(UnknownReferenceError);
    archive.storeLaw(exampleLaw);
    expect(thrownBy(() => archive.recordRun(exampleRun(1)))).toMatchObject({
      message: expect.stringMatching(/Calibration cal-VR0001/),
    });
    expect(thrownBy(() => archive.recordRun(exampleRun(1, { lawRevision: 2 })))).toMatchObject({
      message: expect.stringMatching(/Revision 2/),
    });
    archive.storeCalibration(exampleCalibration);
    archive.recordRun(exampleRun(1));
    expect(archive.countRuns()).toBe(1);
  });
});

describe('what the archive refuses to record', () => {
  const point = exampleRun(1).points[5];
  const reading = exampleRun(1).readings[5];
  if (point === undefined || reading === undefined) throw new Error('the example run has too few points');
  const replaced = <T>(list: readonly T[], value: T): T[] => list.map((item, i) => (i === 5 ? value : item));

  test.each<[string, Partial<RunRecord>, RegExp]>([
    ['NaN as a number', { worstDeviationDb: Number.NaN }, /worstDeviationDb is NaN; a gap is null/],
    [
      'an infinite reading',
      { readings: replaced(exampleRun(1).readings, { ...reading, lossDb: Infinity }) },
      /readings\[5\]\.lossDb is Infinity/,
    ],
    ['half a character', { serial: 'PF\ud800' }, /serial holds half a character/],
    ['an empty serial', { serial: '' }, /serial <> ''/],
    ['a time without a zone', { startedAt: '2026-11-25T10:00:00' }, /startedAt .* is not an ISO 8601 UTC time/],
    ['an unknown verdict', { verdict: 'good' as never }, /verdict_word/],
    ['an unknown outcome', { outcome: 'fine' as never, verdict: 'void', outcomeReason: 'none' }, /outcome_word/],
    [
      'an unknown zone',
      { points: replaced(exampleRun(1).points, { ...point, zone: 'ok' as never }) },
      /points\[5\]\.zone is "ok"/,
    ],
    [
      'a missing property',
      { points: replaced(exampleRun(1).points, { ...point, lawDb: undefined as never }) },
      /points\[5\]\.lawDb is undefined/,
    ],
    ['two readings of one number', { readings: [reading, reading] }, /reading 5 comes twice/],
    ['a pass without calibration', { calibrationId: null }, /pass needs/],
    ['a pass without a rig', { rig: null }, /pass needs/],
    ['a pass of a stopped run', { outcome: 'stopped', outcomeReason: 'operator' }, /pass needs/],
    [
      'a pass over a doubtful point',
      { points: replaced(exampleRun(1).points, { ...point, zone: 'doubt' }) },
      /pass needs/,
    ],
    [
      'a passed point that was not measured',
      { points: replaced(exampleRun(1).points, { ...point, deviationDb: null }) },
      /point 5 passes without being measured/,
    ],
    [
      'trace columns of different length',
      { traces: exampleRun(1).traces.map((trace) => ({ ...trace, counter: trace.counter.slice(1) })) },
      /columns of a trace differ in length \(59, 60, 60, 60\)/,
    ],
    ['a stop without reason', { outcome: 'stopped', verdict: 'void', outcomeReason: null }, /needs a reason/],
    [
      'a void run with a verdict',
      { outcome: 'void', outcomeReason: 'line lost', verdict: 'fail' },
      /no verdict but void/,
    ],
  ])('%s', (_name, change, message) => {
    const archive = filled();
    const error = thrownBy(() => archive.recordRun(exampleRun(1, change)));
    expect(error).toBeInstanceOf(RunRefusedError);
    expect(error).toMatchObject({ message: expect.stringMatching(message), code: 'runRefused' });
    // Nothing of it was written, and the archive goes on.
    const db = new Database(archive.path, { readonly: true });
    for (const table of ['runs', 'measurements', 'rig_limits']) {
      expect(db.prepare(`SELECT count(*) FROM ${table}`).pluck().get()).toBe(0);
    }
    db.close();
    archive.recordRun(exampleRun(1));
    expect(archive.countRuns()).toBe(1);
  });
});

describe('a run that was begun', () => {
  test('is listed until it is recorded', () => {
    const archive = filled();
    const [first, second] = [exampleRun(1), exampleRun(2)];
    archive.beginRun(openingOf(first));
    archive.beginRun(openingOf(second));
    expect(archive.unfinished()).toEqual([openingOf(first), openingOf(second)]);
    expect(archive.countAttempts(first.serial, first.lawId)).toMatchObject({ total: 0, unfinished: 1 });
    archive.recordRun(first);
    expect(archive.unfinished()).toEqual([openingOf(second)]);
    archive.recordRun(voidRun(2, 'interrupted: the program ended during the run'));
    expect(archive.unfinished()).toEqual([]);
    expect(archive.countAttempts(second.serial, second.lawId)).toMatchObject({ total: 1, void: 1, unfinished: 0 });
  });

  test('is begun once and not after it was recorded', () => {
    const archive = filled();
    archive.beginRun(openingOf(exampleRun(1)));
    expect(thrownBy(() => archive.beginRun(openingOf(exampleRun(1))))).toMatchObject({
      message: expect.stringMatching(/was begun before/),
    });
    archive.recordRun(exampleRun(2));
    expect(thrownBy(() => archive.beginRun(openingOf(exampleRun(2))))).toMatchObject({
      message: expect.stringMatching(/was recorded before/),
    });
  });

  test('cannot end as the run of another fader, job or law', () => {
    const archive = filled();
    archive.storeLaw({ id: 'GF-60', revision: 1, data: {} });
    archive.beginRun(openingOf(exampleRun(1)));
    for (const change of [{ serial: 'PF104-26-48-99999' }, { job: 'retest' as const }, { lawId: 'GF-60' }]) {
      expect(thrownBy(() => archive.recordRun(exampleRun(1, change)))).toBeInstanceOf(RunRefusedError);
    }
    expect(archive.unfinished()).toHaveLength(1);
  });

  test('needs its law in the archive', () => {
    const archive = filled();
    const opening = { ...openingOf(exampleRun(1)), lawRevision: 7 };
    expect(thrownBy(() => archive.beginRun(opening))).toBeInstanceOf(UnknownReferenceError);
  });
});
