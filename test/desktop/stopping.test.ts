/** Every way to stop in mid-run, on a rig whose carriage can be looked at from outside; at the end the window is closed. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type LaunchedApp, launchApp } from './app.ts';
import { type BenchFolder, benchFolder } from './bench-folder.ts';
import { type BenchRig, startBenchRig } from './bench-rig.ts';
import { core, patience, press, scan, untilVerdict, untilWord } from './hands.ts';

let bench: BenchFolder;
let rig: BenchRig;
let launched: LaunchedApp;
beforeAll(async () => {
  bench = await benchFolder();
  // As slow as life, so that a motion is still under way when a busy machine gets round to stopping it.
  rig = await startBenchRig(bench.folder, 1);
  launched = await launchApp({ folder: bench.folder, archivePath: bench.archivePath });
  const { page } = launched;
  await untilWord(page, 'No rig');
  await core(page, 'rig.storeCalibration', { calibration: rig.certificate });
  await core(page, 'rig.connect', { path: rig.path });
  await untilWord(page, 'Ready');
}, 60_000);
afterAll(async () => {
  await launched?.close();
  await rig?.stop();
  await bench?.remove();
});

/** Begins to measure and waits until the carriage moves. */
async function measure(serial: string): Promise<void> {
  const { app, page } = launched;
  await page.getByRole('link', { name: 'Bench' }).click();
  await scan(app, serial);
  await untilWord(page, 'Ready');
  await press(app, 'Enter');
  await untilWord(page, 'Measuring');
  await expect.poll(() => rig.carriage(), { ...patience, interval: 5 }).toBe('moving');
}

/** Brings the carriage where the way back is long. A busy machine may let a run fall silent on its way; then another goes. */
async function farFromHome(): Promise<void> {
  const { app, page } = launched;
  for (let at = await rig.positionMm(); at < 85; at = await rig.positionMm()) {
    const word = await page.locator('.known .word').textContent();
    if (word !== 'Measuring') await measure('PF104-26-48-00009');
  }
  await press(app, 'Escape');
  await untilVerdict(page);
}

const menuStop = (): Promise<void> =>
  launched.app.evaluate(({ Menu }) => {
    const station = Menu.getApplicationMenu()?.items.find(({ label }) => label === 'Station')?.submenu;
    station?.items.find(({ label }) => label === 'Stop the carriage')?.click();
  });

const onScreen = (page: Page, name: string): Promise<void> => page.getByRole('link', { name }).click();

const ways: readonly { readonly name: string; readonly serial: string; readonly stop: () => Promise<void> }[] = [
  {
    name: 'the Stop key',
    serial: 'PF104-26-48-00001',
    stop: () => launched.page.getByRole('button', { name: 'Stop' }).click(),
  },
  { name: 'Escape', serial: 'PF104-26-48-00002', stop: () => press(launched.app, 'Escape') },
  { name: 'the menu', serial: 'PF104-26-48-00003', stop: menuStop },
  {
    name: 'Escape in a field of another screen',
    serial: 'PF104-26-48-00004',
    async stop() {
      await onScreen(launched.page, 'Faders');
      await launched.page.getByRole('searchbox').focus();
      await press(launched.app, 'Escape');
    },
  },
  {
    name: 'Halt on the Rig screen',
    serial: 'PF104-26-48-00005',
    async stop() {
      await onScreen(launched.page, 'Rig');
      await launched.page.getByRole('button', { name: 'Halt' }).click();
    },
  },
];

describe('a stop in mid-run', () => {
  it.each(ways)(
    'by $name halts the carriage and is recorded as stopped',
    { timeout: 60_000 },
    async ({ serial, stop }) => {
      const { page } = launched;
      await measure(serial);
      await stop();
      await expect.poll(() => bench.read((archive) => archive.runsOfSerial(serial).length), patience).toBe(1);
      expect(await rig.carriage()).toBe('still');
      const [run] = bench.read((archive) => archive.runsOfSerial(serial));
      expect(run).toMatchObject({ outcome: 'stopped', verdict: 'void' });

      await onScreen(page, 'Bench');
      expect(await untilVerdict(page)).toBe('Void');
      expect(await page.locator('.known > .next').textContent()).toMatch(/stopped|halted/);
      expect(await page.getByRole('alert').count()).toBe(0);
    },
  );

  it('is heard even before the core has answered that the run begins', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    const serial = 'PF104-26-48-00006';
    await scan(app, serial);
    await untilWord(page, 'Ready');
    await press(app, 'Enter', 'Escape');
    await expect.poll(() => bench.read((archive) => archive.runsOfSerial(serial).length), patience).toBe(1);
    expect(bench.read((archive) => archive.runsOfSerial(serial)[0]?.outcome)).toBe('stopped');
    expect(await rig.carriage()).toBe('still');
  });

  it('also ends a motion without a run, from any screen', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    await farFromHome();
    await onScreen(page, 'Faders');
    const home = core(page, 'rig.home', {}).then(
      () => 'arrived',
      () => 'halted',
    );
    await expect.poll(() => rig.carriage(), { ...patience, interval: 5 }).toBe('moving');
    await press(app, 'Escape');
    expect(await home).toBe('halted');
    expect(await rig.carriage()).toBe('still');
  });
});

describe('closing the window in mid-run', () => {
  /** Answers the question with the key at this place, and counts how often it was asked. */
  const answer = (response: 0 | 1): Promise<void> =>
    launched.app.evaluate(({ dialog }, chosen) => {
      const asked = globalThis as unknown as { asked?: string[] };
      asked.asked ??= [];
      dialog.showMessageBox = ((_window: unknown, options: { message: string }) => {
        asked.asked?.push(options.message);
        return Promise.resolve({ response: chosen, checkboxChecked: false });
      }) as typeof dialog.showMessageBox;
    }, response);
  const asked = (): Promise<string[]> =>
    launched.app.evaluate(() => (globalThis as unknown as { asked?: string[] }).asked ?? []);
  const closeWindow = (): Promise<void> =>
    launched.app.evaluate(({ BrowserWindow }) => BrowserWindow.getAllWindows()[0]?.close());

  it('asks first, and keeps measuring when told so', { timeout: 60_000 }, async () => {
    const { page } = launched;
    await measure('PF104-26-48-00007');
    await answer(0);
    await closeWindow();
    await expect.poll(asked, patience).toEqual(['A fader is being measured.']);
    expect(await page.locator('.known .word').textContent()).toBe('Measuring');
  });

  it('then stops safely: carriage still, run recorded as stopped, nothing left running', {
    timeout: 60_000,
  }, async () => {
    const { app } = launched;
    await answer(1);
    const ended = new Promise<void>((resolve) => app.process().once('exit', () => resolve()));
    await closeWindow();
    await ended;
    expect(await rig.carriage()).toBe('still');
    const runs = bench.read((archive) => archive.runsOfSerial('PF104-26-48-00007'));
    expect(runs).toMatchObject([{ outcome: 'stopped', verdict: 'void' }]);
    // The claim on the archive is free again, so no core is left.
    bench.read((archive) => archive.claimStation());
  });
});
