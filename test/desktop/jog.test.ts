/** Hold-to-run in the real window, judged by what the rig itself says: it stands still once nobody holds a key. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { type LaunchedApp, launchApp } from './app.ts';
import { type BenchRig, startBenchRig } from './bench-rig.ts';
import { core, patience } from './hands.ts';

let folder: string;
let launched: LaunchedApp;
let rig: BenchRig;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'faderwright-jog-'));
  rig = await startBenchRig(folder, 1);
  launched = await launchApp();
  const { page } = launched;
  await core(page, 'settings.write', { firstStartDone: true });
  await core(page, 'rig.storeCalibration', { calibration: rig.certificate });
  await core(page, 'rig.connect', { path: rig.path });
  await core(page, 'rig.home', {});
  await page.reload().catch(() => {});
  await page.click('nav >> text=Rig');
  await page.locator('.jog').first().waitFor();
  // Slow enough to be still on its way whenever a test looks.
  await page.click('.choice >> text=5');
}, 60_000);
afterEach(async () => {
  await launched.close();
  await rig.stop();
  await rm(folder, { recursive: true, force: true });
});

const untilCarriage = (state: 'still' | 'moving') => expect.poll(() => rig.carriage(), patience).toBe(state);

async function holdDown(): Promise<void> {
  const { page } = launched;
  const box = await page.locator('.jog').first().boundingBox();
  if (box === null) throw new Error('There is no jog key.');
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await untilCarriage('moving');
}

test('it creeps while the mouse holds the key, and stands when it lets go', async () => {
  await holdDown();
  await launched.page.mouse.up();
  await untilCarriage('still');
}, 60_000);

test('Escape stops it, and the key that is still down does not start it again', async () => {
  await holdDown();
  await launched.page.keyboard.press('Escape');
  await untilCarriage('still');
  await expect.poll(() => launched.page.locator('.jog-panel .caution strong').textContent()).toMatch(/Still/);
  expect(await rig.carriage()).toBe('still');
}, 60_000);

test('sliding off the key stops it', async () => {
  await holdDown();
  await launched.page.mouse.move(5, 5);
  await untilCarriage('still');
}, 60_000);

test('leaving the screen while the key is held stops it', async () => {
  await holdDown();
  await launched.page.keyboard.press('Control+1');
  await untilCarriage('still');
}, 60_000);

test('the space bar holds like a finger', async () => {
  const { page } = launched;
  await page.locator('.jog').first().focus();
  await page.keyboard.down('Space');
  await untilCarriage('moving');
  await page.keyboard.up('Space');
  await untilCarriage('still');
}, 60_000);

test('a window that freezes while the key is held is stopped from outside', async () => {
  await holdDown();
  let isFrozen = true;
  const freeze = launched.page
    .evaluate(() => {
      const end = performance.now() + 6_000;
      while (performance.now() < end);
    })
    .finally(() => {
      isFrozen = false;
    });
  await untilCarriage('still');
  // Still before the window came back: it was not the window that stopped it.
  expect(isFrozen).toBe(true);
  await freeze;
}, 60_000);

test('a window that dies while the key is held is stopped from outside', async () => {
  await holdDown();
  await launched.app.evaluate(({ BrowserWindow }) =>
    BrowserWindow.getAllWindows()[0]?.webContents.forcefullyCrashRenderer(),
  );
  await untilCarriage('still');
}, 60_000);
