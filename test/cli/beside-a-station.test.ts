/** What may be asked of an archive while a station measures into it, e.g. while the window is open. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { openArchive } from '../../src/archive/open.ts';
import type { CoreClient } from '../../src/contract/client.ts';
import { launchCore, type RunningCore } from '../../src/core/launch.ts';
import { awkwardFolder, type Ended, removeFolder, words } from './run-words.ts';

const folder = awkwardFolder();
const archivePath = join(folder, 'bench.sqlite');
const on = (...list: readonly string[]): Promise<Ended> => words(['--archive', archivePath, ...list]);
let station: RunningCore;
let serials: readonly string[];
let rigSerial: string;

const measure = (client: CoreClient, serial: string) =>
  client.call('run.start', { serial, operator: 'KD', lawId: 'PF-104', batch: 'B-1', job: 'measure' });

beforeAll(async () => {
  station = launchCore({ archivePath });
  const { client } = station;
  await client.ready;
  const request = { seed: 4, size: 2, lawId: 'PF-104', finish: 'delivered', faultShare: 0, timeFactor: 300 } as const;
  ({ serials } = await client.call('virtual.start', request));
  await client.call('run.wait', await measure(client, serials[0] ?? ''));
  rigSerial = (await client.call('snapshot', {})).rig.identity?.serial ?? '';
});
afterAll(async () => {
  await station.stop();
  removeFolder(folder);
});

describe('beside a station at work', () => {
  it('every word that looks answers', async () => {
    expect(await on('fader', serials[0] ?? '')).toMatchObject({ code: 0, err: '' });
    expect((await on('law', 'list')).out).toMatch(/^PF-104 +revision 1 +1 runs/m);
    expect((await on('rig', 'calibrations', rigSerial)).out).toMatch(/virtual/);
    expect(await on('rig', 'list')).toMatchObject({ code: 0, err: '' });
    expect((await on('trim-batch', 'B-1')).err).toContain('No piece of batch B-1 was ever trimmed.');
  });

  it('results are written out and backed up', async () => {
    const [table, copy] = [join(folder, 'runs.csv'), join(folder, 'copy.sqlite')];
    expect(await on('export', table)).toMatchObject({ code: 0, err: '' });
    expect(readFileSync(table, 'utf8')).toContain(serials[0]);
    expect(await on('backup', copy)).toMatchObject({ code: 0, err: '' });
    expect(existsSync(copy)).toBe(true);
  });

  it('a law and a certificate are added, and the station knows them at once', async () => {
    const { client } = station;
    const law = (await client.call('law.list', {})).find(({ data }) => data.id === 'PF-104')?.data;
    const certificate = (await client.call('rig.calibrations', { rigSerial }))[0];
    const [lawFile, certificateFile] = [join(folder, 'law.json'), join(folder, 'certificate.json')];
    await client.call('law.write', { id: 'PF-104', revision: 1, form: 'json', path: lawFile });
    writeFileSync(lawFile, readFileSync(lawFile, 'utf8').replace(/"revision": ?1/, '"revision": 2'));
    writeFileSync(certificateFile, JSON.stringify({ ...certificate, id: 'cal-beside', madeBy: 'MB' }));
    expect(law?.revision).toBe(1);
    expect(await on('law', 'add', lawFile)).toMatchObject({ code: 0, err: '' });
    expect(await on('rig', 'certificate', certificateFile)).toMatchObject({ code: 0, err: '' });
    expect((await client.call('law.list', {})).map(({ data }) => `${data.id}/${data.revision}`)).toContain('PF-104/2');
    expect((await client.call('rig.calibrations', { rigSerial })).map(({ id }) => id)).toContain('cal-beside');
  });

  it('the doctor says that the database is in use, and calls it good', async () => {
    const { out } = await on('doctor');
    expect(out).toMatch(/● good +database .*in use by the running station\./);
  });

  it('a run under way is neither disturbed nor taken for an interrupted one', async () => {
    const { client } = station;
    const started = await measure(client, serials[1] ?? '');
    const [listed] = await Promise.all([on('--json', 'fader', serials[1] ?? ''), on('law', 'list')]);
    const { summary } = await client.call('run.wait', started);
    expect(summary.outcome).toBe('completed');
    // The run may have ended before the word looked; a void one it must never show.
    expect(listed.out).not.toContain('"void"');
  });

  it('such a core refuses whatever measures, connects or moves', async () => {
    const beside = launchCore({ archivePath, beside: true });
    try {
      await beside.client.ready;
      const request = {
        seed: 4,
        size: 2,
        lawId: 'PF-104',
        finish: 'delivered',
        faultShare: 0,
        timeFactor: 300,
      } as const;
      await expect(beside.client.call('virtual.start', request)).rejects.toMatchObject({ code: 'contract.shape' });
      await expect(beside.client.call('rig.connect', { path: '/dev/ttyACM0' })).rejects.toThrow(/look only/);
      await expect(measure(beside.client, serials[0] ?? '')).rejects.toThrow(/look only/);
    } finally {
      await beside.stop();
    }
  });
});

describe('without a station', () => {
  const alone = join(folder, 'alone.sqlite');
  const opened: { close(): void }[] = [];
  afterEach(() => {
    for (const archive of opened.splice(0)) archive.close();
  });
  const open = () => {
    const archive = openArchive(alone, { programVersion: 'test', now: () => new Date() });
    opened.push(archive);
    return archive;
  };

  it('a word that looks records what was cut off, and lets the archive go again', async () => {
    const core = launchCore({ archivePath: alone });
    await core.client.ready;
    await core.stop();
    const archive = open();
    archive.beginRun({
      ...{ runId: 'cut-off', serial: 'PF104-26-48-00017', batch: null, job: 'measure', operator: 'KD' },
      ...{ startedAt: '2026-11-25T08:00:00.000Z', lawId: 'PF-104', lawRevision: 1, calibrationId: null },
      ...{ rigSerial: null, programVersion: 'test' },
    });
    const { out } = await words(['--archive', alone, 'fader', 'PF104-26-48-00017']);
    expect(out).toMatch(/void .*ended in the middle of this run/);
    archive.claimStation(0);
    archive.releaseStation();
    const other = open();
    other.claimStation(0);
  });
});
