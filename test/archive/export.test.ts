import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Archive } from '../../src/archive/archive.ts';
import { ArchiveDefectError } from '../../src/archive/errors.ts';
import { readExportedRun } from '../../src/archive/export-json.ts';
import { anyRun } from './any-run.ts';
import { exampleCalibration, exampleLaw, exampleRun, voidRun } from './example-runs.ts';
import { filled, thrownBy } from './places.ts';

async function text(stream: AsyncIterable<string>): Promise<string> {
  let all = '';
  for await (const piece of stream) all += piece;
  return all;
}

async function rows(archive: Archive, ...ask: Parameters<Archive['exportCsv']>): Promise<Record<string, string>[]> {
  return parse(await text(archive.exportCsv(...ask)), { columns: true, record_delimiter: '\r\n' });
}

/** The cell a value must give: spreadsheets would run some texts as formulas, so those get an apostrophe. */
function cell(value: unknown): string {
  if (value === null) return '';
  if (typeof value === 'boolean') return value ? '1' : '0';
  if (typeof value === 'string' && /^[=+\-@\t\r＝＋－＠]/.test(value)) return `'${value}`;
  return String(value);
}

describe('CSV', () => {
  test('holds every reading, point and check with its run, and reads back exactly', async () => {
    const archive = filled();
    const runs = [1, 2, 3].map((number) => exampleRun(number));
    for (const run of runs) archive.recordRun(run);
    for (const kind of ['readings', 'points', 'checks'] as const) {
      const expected = runs.flatMap((run) =>
        run[kind].map((item) => ({
          runId: run.runId,
          serial: run.serial,
          ...Object.fromEntries(Object.entries(item).map(([name, value]) => [name, cell(value)])),
        })),
      );
      expect(await rows(archive, {}, kind)).toEqual(expected);
    }
    const [first] = await rows(archive, {}, 'readings');
    expect(Number(first?.wiperCounts)).toBe(runs[0]?.readings[0]?.wiperCounts);
  });

  test('holds one line per run, oldest first', async () => {
    const archive = filled();
    archive.recordRun(voidRun(2, 'line lost'));
    archive.recordRun(exampleRun(1));
    const lines = await rows(archive, {}, 'runs');
    expect(
      lines.map((line) => [line.serial, line.verdict, line.outcomeReason, line.rigSerial, line.worstDeviationDb]),
    ).toEqual([
      [exampleRun(1).serial, 'pass', '', 'VR0001', String(exampleRun(1).worstDeviationDb)],
      [exampleRun(2).serial, 'void', 'line lost', '', ''],
    ]);
  });

  test('reads back whatever texts and numbers the runs hold', async () => {
    const archive = filled();
    await fc.assert(
      fc.asyncProperty(anyRun, async (content) => {
        const run = { ...content, runId: `run-${archive.countRuns()}` };
        archive.recordRun(run);
        const line = (await rows(archive, { serial: run.serial }, 'runs')).find((found) => found.runId === run.runId);
        for (const name of ['serial', 'batch', 'operator', 'verdictReason', 'worstDeviationDb', 'startedAt'] as const) {
          expect(line?.[name]).toBe(cell(run[name]));
        }
      }),
      { numRuns: 60 },
    );
  });

  test('guards texts, never numbers, against being run as formulas', async () => {
    const archive = filled();
    archive.recordRun(
      exampleRun(1, { serial: '=HYPERLINK("x")', operator: '+1', batch: '@a', worstDeviationDb: -0.5 }),
    );
    const [line] = await rows(archive, {}, 'runs');
    expect(line).toMatchObject({
      serial: '\'=HYPERLINK("x")',
      operator: "'+1",
      batch: "'@a",
      worstDeviationDb: '-0.5',
    });
  });

  test('of nothing is its header', async () => {
    const header = await text(filled().exportCsv({ batch: 'none' }, 'points'));
    expect(header).toMatch(/^runId,serial,pointIndex,travelMm,.*,zone,reason\r\n$/);
  });

  test('takes only what was asked for', async () => {
    const archive = filled();
    for (let i = 0; i < 5; i += 1) archive.recordRun(exampleRun(i, { batch: i < 2 ? 'one' : 'two' }));
    expect(await rows(archive, { batch: 'one' }, 'runs')).toHaveLength(2);
    expect(await rows(archive, { from: exampleRun(3).startedAt }, 'readings')).toHaveLength(2 * 46);
  });

  test('flows in pieces, lets the archive be used meanwhile and leaves out what comes later', async () => {
    const archive = filled();
    const bare = { readings: [], points: [], checks: [], traces: [] };
    for (let i = 0; i < 240; i += 1) archive.recordRun(exampleRun(i, bare));
    let pieces = 0;
    let all = '';
    for await (const piece of archive.exportCsv({}, 'runs')) {
      pieces += 1;
      all += piece;
      archive.recordRun(exampleRun(1000 + pieces, bare));
    }
    expect(pieces).toBe(6);
    expect(parse(all, { columns: true })).toHaveLength(240 + 1);
  });
});

describe('JSON', () => {
  test('holds each run whole, with its law and calibration, one per line', async () => {
    const archive = filled();
    const runs = [exampleRun(1), voidRun(2, 'line lost'), exampleRun(3, { serial: 'line\nfeed "and" ラ' })];
    for (const run of runs) archive.recordRun(run);
    const lines = (await text(archive.exportJson())).split('\n');
    expect(lines.pop()).toBe('');
    expect(lines.map(readExportedRun)).toEqual([
      { run: runs[0], law: exampleLaw, calibration: exampleCalibration },
      { run: runs[1], law: exampleLaw, calibration: null },
      { run: runs[2], law: exampleLaw, calibration: exampleCalibration },
    ]);
  });

  test('can be recorded into another archive and exported again to the same text', async () => {
    const archive = filled();
    for (let i = 0; i < 30; i += 1) archive.recordRun(exampleRun(i));
    const exported = await text(archive.exportJson({ serialPart: '0001' }));
    const other = filled();
    for (const line of exported.trimEnd().split('\n')) other.recordRun(readExportedRun(line).run);
    // 00001 and 00010 to 00019.
    expect(other.countRuns()).toBe(11);
    expect(await text(other.exportJson())).toBe(exported);
  });

  test('refuses lines of another form', () => {
    expect(thrownBy(() => readExportedRun('{"format":"other"}'))).toBeInstanceOf(ArchiveDefectError);
    expect(thrownBy(() => readExportedRun('{"format":"faderwright-run","formatVersion":9}'))).toBeInstanceOf(
      ArchiveDefectError,
    );
  });
});
