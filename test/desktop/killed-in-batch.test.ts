/**
 * A batch on a rig of its own, and the window's process or the shell killed at random moments of it: no run that was called
 * recorded is lost, the carriage comes to rest, and no process is left behind.
 */
import type { ElectronApplication } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launchCore } from '../../src/core/launch.ts';
import { Random } from '../../src/fader/random.ts';
import { type LaunchedApp, launchApp } from './app.ts';
import { type BenchFolder, benchFolder } from './bench-folder.ts';
import { type BenchRig, startBenchRig } from './bench-rig.ts';
import { core, killWindow, patience, scan, textOf, untilWord } from './hands.ts';
import { familyOf, stillRunning } from './processes.ts';

const seed = 20261125;
const launches = 8;
/** As often as a window that dies is loaded anew within a minute. */
const windowKills = 3;
/** A run takes about a second, so that the moments fall anywhere in it. */
const longestWaitMs = 700;

let bench: BenchFolder;
let rig: BenchRig;
beforeAll(async () => {
  bench = await benchFolder();
  rig = await startBenchRig(bench.folder, 60);
});
afterAll(async () => {
  await rig?.stop();
  await bench?.remove();
});

const random = new Random(seed).sub('kill moments');
const atRandom = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, random.uniform(0, longestWaitMs)));

/** What the shell told the window to be recorded. It says so at once on its output, which outlives it. */
async function followRecorded(app: ElectronApplication, acknowledged: Set<string>): Promise<void> {
  app.process().stdout?.on('data', (chunk: Buffer) => {
    for (const [, runId] of chunk.toString('utf8').matchAll(/^recorded (\S+)$/gm)) acknowledged.add(runId ?? '');
  });
  await app.evaluate(({ BrowserWindow }) => {
    const contents = BrowserWindow.getAllWindows()[0]?.webContents;
    if (contents === undefined) throw new Error('There is no window.');
    const send = contents.send.bind(contents);
    contents.send = (channel: string, value: { kind?: string; summary?: { runId: string } }) => {
      send(channel, value);
      if (value.kind === 'recorded') process.stdout.write(`recorded ${value.summary?.runId}\n`);
    };
  });
}

let running = 0;
/** Measures one piece after the other with scanner and pedal until the program is gone. */
async function batch(app: ElectronApplication, isOver: () => boolean): Promise<void> {
  while (!isOver()) {
    const word = await textOf(app, '.known .word');
    if (word === null || !/^(Ready|Pass|Doubt|Fail|Void)$/.test(word)) continue;
    running += 1;
    await scan(app, `PF104-26-48-${String(running).padStart(5, '0')}`);
    await scan(app, '');
  }
}

const untilMeasuring = (app: ElectronApplication): Promise<void> =>
  expect.poll(() => textOf(app, '.known .word'), { ...patience, interval: 10 }).toBe('Measuring');

async function connect({ page }: LaunchedApp): Promise<void> {
  await untilWord(page, 'No rig');
  if (bench.read((archive) => archive.activeCalibration(rig.certificate.rigSerial)) === null)
    await core(page, 'rig.storeCalibration', { calibration: rig.certificate });
  await core(page, 'rig.connect', { path: rig.path });
}

async function oneLaunch(acknowledged: Set<string>): Promise<void> {
  const launched = await launchApp({ folder: bench.folder, archivePath: bench.archivePath });
  const { app } = launched;
  let isOver = false;
  try {
    await followRecorded(app, acknowledged);
    await connect(launched);
    const measuring = batch(app, () => isOver);
    for (let kill = 0; kill < windowKills; kill += 1) {
      await untilMeasuring(app);
      await atRandom();
      await killWindow(app);
    }
    await untilMeasuring(app);
    await atRandom();
    const shell = app.process();
    const family = await familyOf(shell.pid ?? 0);
    isOver = true;
    shell.kill('SIGKILL');
    // The question to the program that was under way fails with it.
    await measuring.catch(() => {});
    await expect.poll(() => stillRunning(family), patience).toEqual([]);
    expect(await rig.carriage()).toBe('still');
  } finally {
    isOver = true;
    await launched.close();
  }
}

describe(`window and shell killed at ${launches * (windowKills + 1)} random moments of a batch (seed ${seed})`, () => {
  it('loses no acknowledged run, leaves no carriage moving and no process behind', { timeout: 240_000 }, async () => {
    const acknowledged = new Set<string>();
    for (let launch = 0; launch < launches; launch += 1) await oneLaunch(acknowledged);
    // Enough of a batch for the moments to mean something.
    expect(acknowledged.size).toBeGreaterThanOrEqual(launches);

    // The next start finds nothing half done.
    const last = launchCore({ archivePath: bench.archivePath });
    await last.client.ready;
    await last.stop();
    bench.read((archive) => {
      expect(archive.checkIntegrity('full').findings).toEqual([]);
      expect(archive.unfinished()).toEqual([]);
      for (const runId of acknowledged) {
        const run = archive.run(runId);
        expect(run?.runId).toBe(runId);
        if (run?.outcome === 'completed') expect(run.points).toHaveLength(21);
      }
    });
  });
});
