/** Scanner and foot pedal only: a scan counts wherever the focus is, and two actions lead from scan to verdict. */
import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type LaunchedApp, launchApp } from './app.ts';
import { type BenchFolder, benchFolder } from './bench-folder.ts';
import { patience, press, scan, startVirtualRig, untilVerdict, untilWord } from './hands.ts';

let bench: BenchFolder;
let launched: LaunchedApp;
let serials: string[];
beforeAll(async () => {
  bench = await benchFolder();
  launched = await launchApp({ folder: bench.folder, archivePath: bench.archivePath });
  await untilWord(launched.page, 'No rig');
  serials = await startVirtualRig(launched.page, { timeFactor: 20, size: 12 });
  await untilWord(launched.page, 'Ready');
}, 60_000);
afterAll(async () => {
  await launched.close();
  await bench.remove();
});

/** Where the focus may be when the next piece is scanned. */
const places: readonly { readonly name: string; readonly screen: string; readonly focus: (page: Page) => Locator }[] = [
  { name: 'Bench, the list of operators', screen: 'Bench', focus: (page) => page.getByLabel('Operator') },
  { name: 'Bench, the batch', screen: 'Bench', focus: (page) => page.getByLabel('Batch') },
  {
    name: 'Bench, a link to another screen',
    screen: 'Bench',
    focus: (page) => page.getByRole('link', { name: 'Laws' }),
  },
  { name: 'Faders, the search field', screen: 'Faders', focus: (page) => page.getByRole('searchbox') },
  {
    name: 'Laws, its violet key',
    screen: 'Laws',
    focus: (page) => page.getByRole('button', { name: 'Take in a file' }),
  },
  {
    name: 'Rig, a key that moves the carriage',
    screen: 'Rig',
    focus: (page) => page.getByRole('button', { name: 'Home' }),
  },
  { name: 'Settings', screen: 'Settings', focus: (page) => page.getByRole('button').first() },
];

/** What stands in a field or list; null for places that hold nothing. */
const contentOf = (place: Locator): Promise<string | null> =>
  place.evaluate((element) =>
    element instanceof HTMLInputElement || element instanceof HTMLSelectElement ? element.value : null,
  );

describe('scanner and pedal', () => {
  it.each(places)('scan and pedal give a verdict from $name', { timeout: 60_000 }, async ({ screen, focus }) => {
    const { app, page } = launched;
    await page.getByRole('link', { name: screen }).click();
    const place = focus(page);
    await place.focus();
    const before = await contentOf(place);
    const serial = serials.shift() ?? '';

    await scan(app, serial);
    await page.getByText('Taken', { exact: true }).waitFor();
    // What the scanner typed into on its way is as it was.
    if (screen === 'Bench') expect(await contentOf(place)).toBe(before);
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    await untilVerdict(page);

    const runs = bench.read((archive) => archive.runsOfSerial(serial));
    expect(runs).toHaveLength(1);
    expect(runs[0]).toMatchObject({ serial, operator: 'KD', lawId: 'PF-104', batch: null, outcome: 'completed' });
  });

  it('takes the next piece in hand while one is measured, without hiding its verdict', {
    timeout: 60_000,
  }, async () => {
    const { app, page } = launched;
    const [now = '', next = ''] = serials;
    await scan(app, now);
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    await scan(app, next);
    const verdict = await untilVerdict(page);
    expect(bench.read((archive) => archive.runsOfSerial(now))[0]?.verdict).toBe(verdict.toLowerCase());
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    await untilVerdict(page);
    expect(bench.read((archive) => archive.runsOfSerial(next))).toHaveLength(1);
  });

  it('says what is wrong with a code that is no serial, and moves nothing', async () => {
    const { app, page } = launched;
    await scan(app, 'BOX-4711-X');
    await expect.poll(() => page.locator('.known > .next').textContent(), patience).toContain('BOX-4711-X');
    await press(app, 'Enter');
    expect(await page.locator('.known .word').textContent()).not.toBe('Measuring');
    expect(await page.getByRole('button', { name: 'Mend it' }).count()).toBe(1);
  });
});
