import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Archive } from '../../src/archive/archive.ts';
import {
  BadQueryError,
  NotPlainDataError,
  RevisionFrozenError,
  UnknownReferenceError,
} from '../../src/archive/errors.ts';
import { exampleCalibration, exampleLaw, exampleRun, voidRun } from './example-runs.ts';
import { filled, folder, opened, thrownBy } from './places.ts';

const bare = { readings: [], points: [], checks: [], traces: [] };

/** Ten pieces, the third measured three times, in two batches. */
function searched(): Archive {
  const archive = filled();
  archive.storeLaw({ id: 'GF-60', revision: 1, data: { id: 'GF-60' } });
  for (let i = 0; i < 10; i += 1) {
    archive.recordRun(
      exampleRun(i, { ...bare, batch: i < 5 ? 'TFW-2648' : null, verdict: i === 4 ? 'doubt' : 'pass' }),
    );
  }
  const third = exampleRun(2).serial;
  archive.recordRun(exampleRun(20, { ...bare, serial: third, verdict: 'fail' }));
  archive.recordRun(voidRun(21, 'line lost', { serial: third }));
  archive.recordRun(exampleRun(22, { ...bare, serial: third, lawId: 'GF-60', job: 'retest' }));
  return archive;
}

const serials = (runs: readonly { serial: string }[]): string[] => runs.map((run) => run.serial.slice(-5));

describe('finding runs', () => {
  test('of one serial, newest first', () => {
    const runs = searched().runsOfSerial(exampleRun(2).serial);
    expect(runs.map((run) => [run.verdict, run.lawId])).toEqual([
      ['pass', 'GF-60'],
      ['void', 'PF-104'],
      ['fail', 'PF-104'],
      ['pass', 'PF-104'],
    ]);
    expect(runs.at(-1)).toEqual({
      runId: exampleRun(2).runId,
      serial: exampleRun(2).serial,
      batch: 'TFW-2648',
      job: 'measure',
      operator: 'KM',
      startedAt: exampleRun(2).startedAt,
      endedAt: exampleRun(2).endedAt,
      outcome: 'completed',
      outcomeReason: null,
      verdict: 'pass',
      verdictReason: exampleRun(2).verdictReason,
      lawId: 'PF-104',
      lawRevision: 1,
      isVirtual: true,
      worstPointIndex: 3,
      worstDeviationDb: exampleRun(2).worstDeviationDb,
    });
  });

  test('by any combination of conditions', () => {
    const archive = searched();
    expect(archive.findRuns()).toHaveLength(13);
    expect(serials(archive.findRuns({ batch: 'TFW-2648', verdict: 'doubt' }))).toEqual(['00004']);
    expect(serials(archive.findRuns({ lawId: 'GF-60' }))).toEqual(['00002']);
    expect(archive.findRuns({ job: 'retest', verdict: 'fail' })).toEqual([]);
    expect(serials(archive.findRuns({ from: exampleRun(7).startedAt, to: exampleRun(9).startedAt }))).toEqual([
      '00008',
      '00007',
    ]);
    expect(archive.countRuns({ batch: 'TFW-2648' })).toBe(8);
  });

  test('by part of a serial, taken literally', () => {
    const archive = searched();
    const odd = ['100%', '100x', 'A_B', 'AxB', 'a\\b', "'; DROP TABLE runs; --", 'ラ-7', '"quoted"'];
    odd.forEach((serial, i) => {
      archive.recordRun(exampleRun(100 + i, { ...bare, serial }));
    });
    expect(archive.findRuns({ serialPart: 'pf104' })).toHaveLength(13);
    for (const part of ['100%', 'A_B', 'a\\b', '; DROP', 'ラ', '"']) {
      expect(archive.findRuns({ serialPart: part }), part).toHaveLength(1);
    }
    for (const serial of odd) expect(archive.runsOfSerial(serial).map((run) => run.serial)).toEqual([serial]);
    expect(archive.countRuns()).toBe(21);
  });

  test('page by page gives every run once, by offset and by the last run seen', () => {
    const archive = searched();
    const all = archive.findRuns().map((run) => run.runId);
    for (const limit of [1, 3, 5, 13]) {
      const byOffset: string[] = [];
      for (let offset = 0; offset < all.length; offset += limit) {
        byOffset.push(...archive.findRuns({ limit, offset }).map((run) => run.runId));
      }
      expect(byOffset).toEqual(all);
      const byRun: string[] = [];
      let page = archive.findRuns({ limit });
      while (page.length > 0) {
        byRun.push(...page.map((run) => run.runId));
        page = archive.findRuns({ limit, afterRunId: byRun.at(-1) ?? '' });
      }
      expect(byRun).toEqual(all);
    }
  });

  test('orders runs that started at the same moment by recording', () => {
    const archive = filled();
    for (let i = 0; i < 4; i += 1) archive.recordRun(exampleRun(i, { ...bare, startedAt: '2026-11-25T10:00:00Z' }));
    const firstTwo = archive.findRuns({ limit: 2 });
    expect(serials(firstTwo)).toEqual(['00003', '00002']);
    expect(serials(archive.findRuns({ limit: 2, afterRunId: firstTwo[1]?.runId ?? '' }))).toEqual(['00001', '00000']);
  });

  test('refuses searches that make no sense', () => {
    const archive = searched();
    const bad = [
      { limit: 0 },
      { limit: 1001 },
      { limit: 1.5 },
      { offset: -1 },
      { from: 'yesterday' },
      { afterRunId: 'none' },
    ];
    for (const search of bad) expect(thrownBy(() => archive.findRuns(search))).toBeInstanceOf(BadQueryError);
  });

  test('any text is a harmless search', () => {
    const archive = searched();
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => {
        archive.findRuns({ serialPart: text, batch: text, lawId: text, serial: text });
        archive.runsOfSerial(text);
      }),
    );
    expect(archive.countRuns()).toBe(13);
  });
});

describe('the last pieces', () => {
  test('are one line per piece with its newest run', () => {
    const pieces = searched().lastPieces(3);
    expect(serials(pieces)).toEqual(['00002', '00009', '00008']);
    expect(pieces[0]?.lawId).toBe('GF-60');
  });
});

describe('attempts', () => {
  test('are counted per serial and law with what came of them', () => {
    const archive = searched();
    const third = exampleRun(2).serial;
    expect(archive.countAttempts(third, 'PF-104')).toEqual({
      total: 3,
      pass: 1,
      doubt: 0,
      fail: 1,
      void: 1,
      unfinished: 0,
    });
    expect(archive.countAttempts(third, 'GF-60')).toMatchObject({ total: 1 });
    expect(archive.countAttempts('never seen', 'PF-104')).toMatchObject({ total: 0, unfinished: 0 });
  });
});

describe('laws', () => {
  test('come back as stored, with where they were used', () => {
    const archive = searched();
    expect(archive.law('PF-104', 1)).toEqual(exampleLaw);
    expect(archive.law('PF-104', 2)).toBeNull();
    expect(archive.lawRevisions().map((law) => [law.id, law.revision, law.runs])).toEqual([
      ['GF-60', 1, 1],
      ['PF-104', 1, 12],
    ]);
    expect(archive.whereUsed('PF-104', 1)).toEqual({
      runs: 12,
      serials: 10,
      firstStartedAt: exampleRun(0).startedAt,
      lastStartedAt: exampleRun(21).startedAt,
    });
    expect(thrownBy(() => archive.whereUsed('PF-104', 9))).toBeInstanceOf(UnknownReferenceError);
  });

  test('may be stored again with the same content in any order of keys, never with other content', () => {
    const archive = filled();
    expect(archive.storeLaw({ id: 'A', revision: 1, data: { a: 1, b: [1, { c: 2, d: 3 }] } })).toBe('stored');
    expect(archive.storeLaw({ id: 'A', revision: 1, data: { b: [1, { d: 3, c: 2 }], a: 1 } })).toBe('alreadyStored');
    const error = thrownBy(() =>
      archive.storeLaw({ id: 'A', revision: 1, data: { a: 1, b: [1, { c: 2, d: 3.001 }] } }),
    );
    expect(error).toBeInstanceOf(RevisionFrozenError);
    expect(archive.law('A', 1)?.data).toEqual({ a: 1, b: [1, { c: 2, d: 3 }] });
    expect(archive.storeLaw({ id: 'A', revision: 2, data: { a: 2 } })).toBe('stored');
  });

  test('keep any JSON exactly', () => {
    const archive = filled();
    let revision = 0;
    fc.assert(
      fc.property(fc.jsonValue({ stringUnit: 'grapheme' }), (data) => {
        revision += 1;
        archive.storeLaw({ id: 'any', revision, data });
        expect(JSON.stringify(archive.law('any', revision)?.data)).toHaveLength(JSON.stringify(data).length);
        expect(structuredClone(archive.law('any', revision)?.data)).toEqual(JSON.parse(JSON.stringify(data)));
      }),
    );
  });

  test('are refused when JSON would bend them', () => {
    const archive = filled();
    const cyclic: Record<string, unknown> = {};
    cyclic.self = cyclic;
    for (const data of [
      Number.NaN,
      { a: Infinity },
      new Date(0),
      { f: () => 1 },
      [undefined],
      1n,
      new Float64Array(2),
      cyclic,
      '\ud800',
    ]) {
      expect(thrownBy(() => archive.storeLaw({ id: 'bad', revision: 1, data }))).toBeInstanceOf(NotPlainDataError);
    }
    expect(thrownBy(() => archive.storeLaw({ id: 'bad', revision: 0, data: {} }))).toBeInstanceOf(NotPlainDataError);
    expect(archive.lawRevisions().filter((law) => law.id === 'bad')).toEqual([]);
  });
});

describe('calibrations', () => {
  test('the newest by the time it was made is active, per rig', () => {
    const archive = opened(join(folder(), 'bench.db'));
    const store = (id: string, rigSerial: string, madeAt: string) =>
      archive.storeCalibration({ id, data: { rigSerial, madeAt } });
    store('b', 'R1', '2026-11-20T10:00:00.500Z');
    store('a', 'R1', '2026-11-20T10:00:00Z');
    store('c', 'R1', '2025-01-01T10:00:00Z');
    store('d', 'R2', '2027-01-01T10:00:00Z');
    expect(archive.activeCalibration('R1')?.id).toBe('b');
    expect(archive.calibrations('R1').map((calibration) => calibration.id)).toEqual(['b', 'a', 'c']);
    expect(archive.activeCalibration('R2')?.id).toBe('d');
    expect(archive.activeCalibration('R3')).toBeNull();
  });

  test('are never changed and need a rig and a time', () => {
    const archive = filled();
    expect(archive.storeCalibration(exampleCalibration)).toBe('alreadyStored');
    const changed = { ...exampleCalibration, data: { ...(exampleCalibration.data as object), gain: 2 } };
    expect(thrownBy(() => archive.storeCalibration(changed))).toBeInstanceOf(RevisionFrozenError);
    expect(archive.calibration(exampleCalibration.id)).toEqual(exampleCalibration);
    for (const data of [
      null,
      {},
      { rigSerial: 'R' },
      { rigSerial: 'R', madeAt: 'today' },
      { madeAt: '2026-11-20T10:00:00Z' },
    ]) {
      expect(thrownBy(() => archive.storeCalibration({ id: 'x', data }))).toBeInstanceOf(NotPlainDataError);
    }
  });
});

describe('settings', () => {
  test('can be set, changed and listed', () => {
    const archive = filled();
    expect(archive.setting('operators')).toBeUndefined();
    archive.setSetting('operators', ['KM']);
    archive.setSetting('operators', ['KM', 'JT']);
    archive.setSetting('sound', null);
    expect(archive.setting('operators')).toEqual(['KM', 'JT']);
    expect(archive.settings()).toEqual({ operators: ['KM', 'JT'], sound: null });
  });
});
