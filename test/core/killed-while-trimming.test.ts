/** A real core process, killed without warning between cutting and measuring: nothing is cut twice. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { openArchive } from '../../src/archive/open.ts';
import type { Cut, TrimPiece } from '../../src/contract/trim.ts';
import { launchCore, type RunningCore } from '../../src/core/launch.ts';

const seed = 11;
const tool = { id: 'M1', kind: 'mill' } as const;

async function bench(archivePath: string): Promise<{ core: RunningCore; serials: readonly string[] }> {
  const core = launchCore({ archivePath });
  onTestFinished(() => core.stop());
  await core.client.ready;
  const { serials } = await core.client.call('virtual.start', {
    ...{ seed, size: 6, lawId: 'PF-104', finish: 'raw', faultShare: 0, timeFactor: 200 },
  });
  return { core, serials };
}

async function measure({ client }: RunningCore, serial: string): Promise<TrimPiece> {
  const { runId } = await client.call('trim.start', { serial, operator: 'KD', lawId: 'PF-104', batch: 'K', tool });
  return client.call('trim.wait', { runId });
}

async function killed(core: RunningCore): Promise<void> {
  const gone = new Promise<void>((resolve) => core.process.once('exit', () => resolve()));
  core.process.kill('SIGKILL');
  await gone;
}

/** A piece with its cuts asked for; the film is cut. */
async function cutPiece(archivePath: string): Promise<{ core: RunningCore; serial: string; cuts: readonly Cut[] }> {
  const { core, serials } = await bench(archivePath);
  for (const serial of serials) {
    const piece = await measure(core, serial);
    if (piece.state !== 'planned') continue;
    const { plan } = await core.client.call('trim.askCuts', { serial, operator: 'KD' });
    const cuts = plan?.cuts ?? [];
    await core.client.call('virtual.applyCuts', { cuts: [...cuts], toolId: tool.id });
    return { core, serial, cuts };
  }
  throw new Error(`No piece of seed ${seed} can be trimmed.`);
}

function archivePlace(): string {
  const folder = mkdtempSync(join(tmpdir(), 'faderwright-killed-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return join(folder, 'bench.sqlite');
}

/** The piece on return: the cuts cannot be had again, only measured, and what follows has numbers of its own. */
async function returnsToMeasuring(archivePath: string, serial: string, cuts: readonly Cut[]): Promise<TrimPiece> {
  const { core } = await bench(archivePath);
  const { client } = core;
  const found = await client.call('trim.piece', { serial });
  expect(found).toMatchObject({ mustRemeasure: true, pass: 1 });
  await expect(client.call('trim.askCuts', { serial, operator: 'KD' })).rejects.toMatchObject({ code: 'trim.order' });
  // The virtual film went with its rig; the same tool with the same seed cuts it to the same shape again.
  const stopped = await client.call('virtual.load', {
    index: Number(serial.slice(-5)) - 1,
  });
  expect(stopped.serial).toBe(serial);
  await client.call('virtual.applyCuts', { cuts: [...cuts], toolId: tool.id });
  const after = await measure(core, serial);
  expect(after.mustRemeasure).toBe(false);
  expect(['accepted', 'planned']).toContain(after.state);
  expect(after.passes).toHaveLength(1);
  const before = new Set(cuts.map(({ number }) => number));
  for (const { number } of after.plan?.cuts ?? []) expect(before.has(number)).toBe(false);
  await core.stop();
  const archive = openArchive(archivePath, { programVersion: 'test', now: () => new Date() });
  try {
    expect(archive.checkIntegrity('full').findings).toEqual([]);
    expect(archive.trimEvents(serial).filter(({ state }) => state === 'cutsAsked')).toHaveLength(1);
    expect(archive.cutNotMeasured()).toEqual([]);
  } finally {
    archive.close();
  }
  return after;
}

describe(`the core killed while a piece is trimmed (seed ${seed})`, { timeout: 120_000 }, () => {
  it('as soon as the cuts are called done: the piece is found as cut, not yet measured', async () => {
    const archivePath = archivePlace();
    const { core, serial, cuts } = await cutPiece(archivePath);
    const done = await core.client.call('trim.cutsDone', { serial, operator: 'KD', cuts: 'all' });
    await killed(core);
    expect(done.state).toBe('cutsDone');
    const again = await bench(archivePath);
    const found = await again.core.client.call('trim.piece', { serial });
    expect(found).toEqual(done);
    expect(found?.sentence).toContain('Cut, not yet measured');
    await expect(
      again.core.client.call('trim.cutsDone', { serial, operator: 'KD', cuts: 'all' }),
    ).rejects.toMatchObject({ code: 'trim.order' });
    await again.core.stop();
    const after = await returnsToMeasuring(archivePath, serial, cuts);
    expect(after.passes[0]?.cutsDone).toEqual(cuts.map(({ number }) => number));
    expect(after.passes[0]?.gain?.achieved).toBeGreaterThan(0.5);
  });

  it('before anybody said so: the cuts may have been made, so they are not offered again', async () => {
    const archivePath = archivePlace();
    const { core, serial, cuts } = await cutPiece(archivePath);
    await killed(core);
    // Hands may be at the track still: the carriage does not move for anything but this piece.
    const returned = launchCore({ archivePath });
    await returned.client.ready;
    await expect(returned.client.call('rig.home', {})).rejects.toMatchObject({ code: 'trim.handsIn' });
    await returned.stop();
    const after = await returnsToMeasuring(archivePath, serial, cuts);
    expect(after.passes[0]?.gain).toBeNull();
  });

  it('in the middle of measuring again: that run is void, and the piece is still to be measured', async () => {
    const archivePath = archivePlace();
    const { core, serial, cuts } = await cutPiece(archivePath);
    const { client } = core;
    await client.call('trim.cutsDone', { serial, operator: 'KD', cuts: 'all' });
    const moving = new Promise<void>((resolve) => {
      client.onEvent((event) => {
        if (event.kind === 'livePoint') resolve();
      });
    });
    await client.call('trim.start', { serial, operator: 'KD', lawId: 'PF-104', batch: 'K', tool });
    await moving;
    await killed(core);
    const after = await returnsToMeasuring(archivePath, serial, cuts);
    expect(after.passes[0]?.gain?.achieved).toBeGreaterThan(0.5);
  });
});
