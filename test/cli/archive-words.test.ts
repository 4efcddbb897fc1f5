/** The demo from nothing, and then every word that looks into its archive, in folders whose names need quoting. */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { RunSummary } from '../../src/contract/records.ts';
import { awkwardFolder, checkout, type Ended, removeFolder, words } from './run-words.ts';

const folder = awkwardFolder();
const out = join(folder, 'Vorführung');
const archivePath = join(out, 'bench.sqlite');
const on = (...list: readonly string[]): Promise<Ended> => words(['--archive', archivePath, ...list]);
const json = (...list: readonly string[]): Promise<Ended> => words(['--archive', archivePath, '--json', ...list]);
const output = (name: string): string => join(folder, 'für das Büro', name);
const serials = ['PF104-26-48-00001', 'PF104-26-48-00002'];
let demo: Ended;

beforeAll(async () => {
  demo = await words([
    'demo',
    '--size',
    '2',
    '--seed',
    '5',
    '--fault-share',
    '1',
    '--time-factor',
    '300',
    '--trim',
    '0',
    '--out',
    out,
  ]);
});
afterAll(() => removeFolder(folder));

describe('the demo', () => {
  it('measures, shows a verdict per fader, and says where everything is', () => {
    expect(demo).toMatchObject({ code: 0, err: '' });
    for (const serial of serials) {
      expect(demo.out).toMatch(new RegExp(`${serial} {2}(pass|doubt|fail) {2}\\[virtual rig\\]$`, 'm'));
      expect(demo.out).toMatch(new RegExp(`^${serial}.+(pass|doubt|fail)`, 'm'));
    }
    expect(demo.out).toMatch(/^2 faders: .* void {3}\[virtual rig\]$/m);
    expect(demo.out).toContain(`Database  ${archivePath}`);
    // The line to paste works in a folder with spaces.
    expect(demo.out).toContain(`--archive "${archivePath}" fader ${serials[0]}`);
    expect(demo.out).toMatch(/^Next {6}\S.+\.$/m);
    expect(readFileSync(join(out, 'report.html'), 'utf8')).toContain('</html>');
  });

  it('repeated into the same folder is a batch of its own', async () => {
    const again = ['demo', '--size', '1', '--seed', '5', '--time-factor', '300', '--trim', '0', '--out', out, '--json'];
    const { code, out: text, err } = await words(again);
    expect({ code, err }).toEqual({ code: 0, err: '' });
    expect(JSON.parse(text)).toMatchObject({ database: archivePath, verdicts: [{ serial: serials[0] }] });
    expect(readFileSync(join(out, 'report.html'), 'utf8')).toContain('DEMO-5-2');
  });
});

describe('fader', () => {
  it('lists every run of a serial, however the serial is written', async () => {
    const listed = await on('fader', ' pf104-26-48-00002 ');
    expect(listed).toMatchObject({ code: 0, err: '' });
    expect(listed.out).toMatch(/^2\d{3}-\d\d-\d\d \d\d:\d\d:\d\d {2}PF104-26-48-00002 {2}\w+ .*\[virtual rig\]$/m);
    const runs = JSON.parse((await json('fader', serials[1] ?? '')).out) as RunSummary[];
    expect(runs.map(({ serial, isVirtual }) => [serial, isVirtual])).toEqual([[serials[1], true]]);
  });

  it('says when there is none, and what there is instead', async () => {
    const none = await on('fader', 'PF104-26-48-0000');
    expect(none.code).toBe(0);
    expect(none.out).toMatch(/No run of PF104-26-48-0000 in .*\n.*Did you mean: PF104-26-48-0000\d/);
    expect(JSON.parse((await json('fader', 'QS54-26-48-00001')).out)).toEqual([]);
  });
});

describe('export', () => {
  it.each(['runs', 'points', 'readings', 'checks'])('writes the table %s', async (what) => {
    const path = output(`${what}.csv`);
    const { code, out: text } = await json('export', '--what', what, '--batch', 'DEMO-5', path);
    expect(code).toBe(0);
    expect(JSON.parse(text)).toEqual({ path, runs: 2, bytes: readFileSync(path).length });
    const rows = parse(readFileSync(path, 'utf8'), { columns: true, bom: true }) as Record<string, string>[];
    const key = Object.keys(rows[0] ?? {}).find((name) => name === 'serial');
    expect(new Set(rows.map((row) => row[key ?? '']))).toEqual(new Set(serials));
    if (what === 'runs') expect(rows).toHaveLength(2);
    else expect(rows.length).toBeGreaterThan(6);
  });

  it('writes everything as JSON, filtered', async () => {
    const path = output('one.json');
    const { code } = await on('export', '--what', 'json', '--serial', '48-00002', '--from', '2020-01-01', path);
    expect(code).toBe(0);
    const text = readFileSync(path, 'utf8');
    expect(JSON.stringify(JSON.parse(text))).toContain(serials[1]);
    expect(text).not.toContain(serials[0]);
  });

  it('never writes over a file, and leaves nothing half there', async () => {
    const path = output('kept.csv');
    expect((await on('export', path)).code).toBe(0);
    const before = readFileSync(path, 'utf8');
    const again = await json('export', path);
    expect(again.code).toBe(2);
    expect(JSON.parse(again.out)).toMatchObject({ error: { code: 'request.fileExists', userFixable: true } });
    expect(readFileSync(path, 'utf8')).toBe(before);
    expect(readdirSync(output('.')).filter((name) => name.includes('unfinished'))).toEqual([]);
  });

  it('says what stands in the way of a file', async () => {
    const through = await on('export', join(archivePath, 'x.csv'));
    expect(through).toMatchObject({ code: 2, out: '' });
    expect(through.err).toMatch(/Cannot write .*x\.csv: .*(file|name).*\. Give another place/);
  });
});

describe('backup', () => {
  it('is an archive of its own with every run, made once', async () => {
    const path = output('Sicherung.sqlite');
    const { code, out: text } = await json('backup', path);
    expect(code).toBe(0);
    expect(JSON.parse(text)).toMatchObject({ path, runs: 3 });
    const found = await words(['--archive', path, '--json', 'fader', serials[1] ?? '']);
    expect(JSON.parse(found.out)).toHaveLength(1);
    const again = await on('backup', path);
    expect(again).toMatchObject({ code: 2, out: '' });
    expect(again.err).toMatch(/exists already and was left as it is/);
  });

  it('onto the archive itself is refused and harmless', async () => {
    expect((await on('backup', archivePath)).code).toBe(2);
    expect((await on('fader', serials[1] ?? '')).out).toContain(serials[1]);
  });
});

describe('law', () => {
  const example = join(checkout, 'src', 'law', 'examples', 'GF-60.json');
  const own = join(folder, 'eigenes Gesetz.json');

  it('list names each revision and how often it was used', async () => {
    const laws = JSON.parse((await json('law', 'list')).out) as { data: { id: string }; runs: number }[];
    expect(laws.map(({ data, runs }) => [data.id, runs])).toEqual([
      ['AT-60', 0],
      ['GF-60', 0],
      ['PF-104', 3],
      ['QS-54', 0],
    ]);
    expect((await on('law', 'list')).out).toMatch(/^PF-104 +revision 1 +3 runs {3}\S/m);
  });

  it('check and add take a whole law, and a revision once kept stays', async () => {
    const law = JSON.parse(readFileSync(example, 'utf8')) as Record<string, unknown>;
    writeFileSync(own, JSON.stringify({ ...law, revision: 2, title: 'Changed' }));
    expect(await on('law', 'check', own)).toMatchObject({ code: 0, out: expect.stringContaining('GF-60 revision 2') });
    const kept = await json('law', 'add', own);
    expect(JSON.parse(kept.out)).toEqual({ kept: { id: 'GF-60', revision: 2 } });
    expect(await on('law', 'add', own)).toMatchObject({
      code: 0,
      out: 'Already kept, unchanged: GF-60 revision 2.\n',
    });
    writeFileSync(own, JSON.stringify({ ...law, revision: 2, title: 'Changed again' }));
    const refused = await json('law', 'add', own);
    expect(refused.code).toBe(2);
    expect(JSON.parse(refused.out)).toMatchObject({ error: { code: 'revisionFrozen' } });
  });

  it('add --base makes points the next revision of a law', async () => {
    const csv = join(folder, 'Punkte.csv');
    const { data } = (JSON.parse((await json('law', 'list')).out) as { data: { id: string; points: object[] } }[])
      .filter(({ data: one }) => one.id === 'QS-54')
      .at(-1) ?? { data: { points: [] } };
    expect(data.points.length).toBe(54);
    writeFileSync(csv, pointsFile(data.points as Point[]));
    const bare = await on('law', 'add', csv);
    expect(bare).toMatchObject({ code: 2, out: '' });
    expect(bare.err).toMatch(/points only.*--base ID/);
    expect((await on('law', 'check', csv)).out).toMatch(/54 points/);
    const unknown = await on('law', 'add', csv, '--base', 'XX-1');
    expect(unknown.code).toBe(2);
    expect(unknown.err).toMatch(/There is no law XX-1.*QS-54 revision 1/);
    const kept = await json('law', 'add', csv, '--base', 'QS-54');
    expect(JSON.parse(kept.out)).toEqual({ kept: { id: 'QS-54', revision: 2 } });
  });

  it('a file with faults lists them all by line, for people and as JSON', async () => {
    const csv = join(folder, 'falsch.csv');
    writeFileSync(
      csv,
      'travel_mm,loss_db,minus_db,plus_db,travel_tol_mm,mark\n0,60,1,1,,\n10,abc,1,1,,\n5,40,-1,1,,\n',
    );
    const people = await on('law', 'check', csv);
    expect(people.code).toBe(2);
    expect(people.err).toMatch(/^The law file "falsch\.csv" was refused\./);
    expect(people.err).toMatch(/- line 3: .*\n.*- line 4: /s);
    const { error } = JSON.parse((await json('law', 'check', csv)).out) as {
      error: { code: string; details: string[] };
    };
    expect(error.code).toMatch(/^law\./);
    expect(error.details.length).toBeGreaterThan(1);
  });
});

describe('rig and doctor', () => {
  it('rig list is an array of ports', async () => {
    const { code, out: text } = await json('rig', 'list');
    expect(code).toBe(0);
    expect(JSON.parse(text)).toBeInstanceOf(Array);
  });

  it('a certificate is kept once, and shown newest first', async () => {
    const at = (id: string, madeAt: string): string => {
      const path = join(folder, `${id}.json`);
      writeFileSync(path, JSON.stringify({ ...certificate, id, madeAt }));
      return path;
    };
    for (const path of [at('c-old', '2026-01-01T08:00:00Z'), at('c-new', '2026-11-01T08:00:00Z')]) {
      expect((await on('rig', 'certificate', path)).code).toBe(0);
    }
    const other = await on('rig', 'certificate', at('c-new', '2026-11-02T08:00:00Z'));
    expect(other.code).toBe(2);
    expect(other.err).toMatch(/c-new.*never changed/);
    const history = JSON.parse((await json('rig', 'calibrations', 'R-7')).out) as { id: string }[];
    expect(history.map(({ id }) => id)).toEqual(['c-new', 'c-old']);
    expect((await on('rig', 'calibrations', 'R-8')).out).toMatch(/No calibration of R-8.*rig certificate FILE/);
  });

  it('doctor looks at everything', async () => {
    const lines = JSON.parse((await json('doctor')).out) as { subject: string; state: string }[];
    expect(new Set(lines.map(({ subject }) => subject))).toEqual(
      new Set(['runtime', 'database', 'ports', 'virtual rig']),
    );
    expect(lines.find(({ subject }) => subject === 'database')?.state).toBe('good');
  });
});

it('words that only look make no archive', async () => {
  for (const list of [
    ['fader', 'x'],
    ['export', output('never.csv')],
    ['backup', output('never.sqlite')],
  ]) {
    const path = join(folder, 'vertippt', 'bench.sqlite');
    const { code, err } = await words(['--archive', path, ...list]);
    expect(code).toBe(4);
    expect(err).toMatch(/vertippt/);
    expect(existsSync(path)).toBe(false);
  }
  expect(existsSync(output('never.csv'))).toBe(false);
});

const certificate = {
  rigSerial: 'R-7',
  dueAt: '2027-11-01T08:00:00Z',
  source: 'certificate',
  madeBy: 'Lab',
  position: {
    ...{ scale: 1, zeroMm: 0, backlashMm: 0.04, uZeroMm: 0.005, uBacklashMm: 0.004 },
    ...{ uScale: 3e-6, screwAmplitudeMm: 0.01, uHomeMm: 0.01 },
  },
  meter: {
    ...{ offsetCounts: 0, trackOffsetCounts: 0, gain: 1, uOffsetCounts: 2, uGain: 2e-5 },
    ...{ nonLinearity: 5e-6, seriesReferenceOhm: 10_000, uSeriesReference: 1e-4 },
  },
};

interface Point {
  readonly travelMm: number;
  readonly lossDb: number;
  readonly minusDb: number;
  readonly plusDb: number | null;
}

function pointsFile(points: readonly Point[]): string {
  const rows = points.map(
    ({ travelMm, lossDb, minusDb, plusDb }) => `${travelMm},${lossDb},${minusDb},${plusDb ?? 'any'},,`,
  );
  return `travel_mm,loss_db,minus_db,plus_db,travel_tol_mm,mark\n${rows.join('\n')}\n`;
}
