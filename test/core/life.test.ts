/** How a core begins and ends: refused archives, a second core, a lost parent, a rig that dies and comes back. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openArchive } from '../../src/archive/open.ts';
import { launchCore } from '../../src/core/launch.ts';
import { ended, familyOf } from '../cli/processes.ts';
import { newFolder, openCore, requestFor, withRig } from './open-core.ts';

describe('a core that cannot open its archive', () => {
  it('says why, answers every call with it, and leaves when asked', async () => {
    const folder = newFolder();
    const text = join(folder, 'text.sqlite');
    writeFileSync(text, 'no database'.repeat(500));
    mkdirSync(join(folder, 'folder.sqlite'));
    for (const [path, code] of [
      [text, 'notAnArchive'],
      [join(folder, 'folder.sqlite'), 'notAnArchive'],
      [join(text, 'x.sqlite'), 'archive.folder'],
    ] as const) {
      const core = launchCore({ archivePath: path });
      await expect(core.client.ready).rejects.toMatchObject({ code, userFixable: true });
      await expect(core.client.call('law.list', {})).rejects.toMatchObject({ code });
      await core.stop();
      expect(core.process.exitCode).toBe(0);
    }
  });

  it('that must be there is not made', async () => {
    const archivePath = join(newFolder(), 'none.sqlite');
    const core = launchCore({ archivePath, mustExist: true });
    await expect(core.client.ready).rejects.toMatchObject({ code: 'archiveNotFound' });
    await core.stop();
  });

  it('that never started is gone at once, and its stop does not wait', async () => {
    const core = launchCore({ archivePath: join(newFolder(), 'x.sqlite'), execPath: '/nowhere/node' });
    const gone: string[] = [];
    core.client.onGone(({ reason }) => gone.push(reason));
    await expect(core.client.ready).rejects.toMatchObject({ code: 'core.gone' });
    await core.stop();
    expect(gone).toEqual([expect.stringMatching(/could not be started/)]);
  });
});

it('a second core on the same archive is refused, until the first has gone', async () => {
  const first = await openCore();
  const second = launchCore({ archivePath: first.archivePath });
  await expect(second.client.ready).rejects.toMatchObject({
    code: 'archiveBusy',
    message: expect.stringMatching(/another station is working with it.*Close the other program/),
  });
  await second.stop();
  expect(await first.client.call('law.list', {})).toHaveLength(4);
  await first.stop();
  await openCore(first.archivePath);
});

it('a core whose parent goes in mid-run halts, records, and takes its rig along', async () => {
  const core = await openCore();
  const [serial = ''] = await withRig(core, { timeFactor: 1 });
  const { rig } = familyOf(process.pid);
  const { runId } = await core.client.call('run.start', requestFor(serial));
  await core.until(({ run }) => (run?.stepIndex ?? 0) > 2);
  const gone = new Promise((resolve) => core.process.once('exit', resolve));
  // What the parent's death does to the channel.
  core.process.disconnect();
  expect(await gone).toBe(0);
  if (rig !== null) await ended(rig);
  const archive = openArchive(core.archivePath, { programVersion: 'test', now: () => new Date() });
  expect(archive.unfinished()).toEqual([]);
  expect(archive.run(runId)).toMatchObject({ outcome: 'stopped', verdict: 'void', serial });
  archive.close();
});

it('a run that the core did not live to end is on record as void at the next start', async () => {
  const core = await openCore();
  const [serial = ''] = await withRig(core, { timeFactor: 1 });
  const identity = (await core.client.call('snapshot', {})).rig.identity;
  const { runId } = await core.client.call('run.start', requestFor(serial));
  const gone = new Promise((resolve) => core.process.once('exit', resolve));
  core.process.kill('SIGKILL');
  await gone;
  const next = await openCore(core.archivePath);
  expect(await next.client.call('run.read', { runId })).toMatchObject({
    verdict: 'void',
    verdictReason: expect.stringMatching(/program ended in the middle/),
    rig: { ...identity, isVirtual: true },
  });
  expect(await next.client.call('runs.ofSerial', { serial })).toMatchObject([{ runId, isVirtual: true }]);
});

it('a rig whose process is killed: the run is void, and a new rig is measured on without a restart', async () => {
  const core = await openCore();
  const [serial = ''] = await withRig(core, { timeFactor: 1 });
  const { rig } = familyOf(process.pid);
  if (rig === null) throw new Error('no rig process');
  const { runId } = await core.client.call('run.start', requestFor(serial));
  await core.until(({ run }) => (run?.stepIndex ?? 0) > 2);
  process.kill(rig, 'SIGKILL');
  const { summary } = await core.client.call('run.wait', { runId });
  expect(summary).toMatchObject({ outcome: 'void', verdict: 'void', verdictReason: expect.stringMatching(/line/i) });
  await core.until((snapshot) => snapshot.rig.state !== 'ready');
  await expect(core.client.call('run.start', requestFor(serial))).rejects.toMatchObject({
    code: expect.stringMatching(/^(rig\.absent|rigProcessGone)$/),
  });

  const [again = ''] = await withRig(core);
  const started = await core.client.call('run.start', requestFor(again));
  const second = await core.client.call('run.wait', started);
  expect(second.summary).toMatchObject({ outcome: 'completed', serial: again });
});
