/** A notice of what went wrong: it covers no key to press next, and goes once the same thing has succeeded. */
import type { Locator } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type LaunchedApp, launchApp } from './app.ts';
import { type BenchFolder, benchFolder } from './bench-folder.ts';
import { untilWord } from './hands.ts';

let bench: BenchFolder;
let launched: LaunchedApp;
beforeAll(async () => {
  bench = await benchFolder();
  launched = await launchApp({ folder: bench.folder, archivePath: bench.archivePath });
  await untilWord(launched.page, 'No rig');
}, 60_000);
afterAll(async () => {
  await launched?.close();
  await bench?.remove();
});

/** Whether every corner of the key answers to a finger. */
const isFree = (key: Locator): Promise<boolean> =>
  key.evaluate((element) => {
    const { left, right, top, bottom } = element.getBoundingClientRect();
    return [left + 4, right - 4].every((x) =>
      [top + 4, bottom - 4].every((y) => element.contains(document.elementFromPoint(x, y))),
    );
  });

describe('a port that cannot be opened', () => {
  it.each([
    [1280, 800],
    [1264, 704],
  ] as const)('is told on %s x %s px without covering a key', { timeout: 60_000 }, async (width, height) => {
    const { app, page } = launched;
    await app.evaluate(
      ({ BrowserWindow }, size) => BrowserWindow.getAllWindows()[0]?.setContentSize(size.width, size.height),
      { width, height },
    );
    await page.waitForFunction((size) => innerHeight === size.height, { height });
    await page.getByRole('link', { name: 'Rig' }).click();
    await page.getByLabel('Port that is not listed').fill('/dev/ttyNONE');
    await page.getByLabel('Port that is not listed').press('Enter');
    await page.locator('.notice').filter({ hasText: '/dev/ttyNONE' }).waitFor();
    expect(await isFree(page.getByRole('button', { name: 'Connect' }))).toBe(true);
    await page.locator('.port').filter({ hasText: 'Virtual rig' }).click();
    expect(await isFree(page.getByRole('button', { name: 'Start the virtual rig' }))).toBe(true);
  });

  it('is old news once another rig is connected', { timeout: 60_000 }, async () => {
    const { page } = launched;
    await page.getByRole('button', { name: 'Start the virtual rig' }).click();
    await page.getByRole('region', { name: 'Connected rig' }).waitFor();
    await page.locator('.notice').waitFor({ state: 'detached' });
  });
});
