/** A raw track trimmed at the window, from its first measurement to its end, on a virtual rig that really cuts. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { TrimPiece } from '../../src/contract/trim.ts';
import { type LaunchedApp, launchApp } from './app.ts';
import { type BenchFolder, benchFolder } from './bench-folder.ts';
import { core, patience, press, scan, untilWord } from './hands.ts';
import { corePid } from './processes.ts';

let bench: BenchFolder;
let launched: LaunchedApp;
let serials: string[];
beforeAll(async () => {
  bench = await benchFolder();
  launched = await launchApp({ folder: bench.folder, archivePath: bench.archivePath });
  await begin(launched.page, 4);
}, 60_000);
afterAll(async () => {
  await launched?.close();
  await bench?.remove();
});

/** Raw tracks in the virtual clamp, and the job Trim on the slip. */
async function begin(page: Page, size: number): Promise<void> {
  await untilWord(page, 'No rig');
  ({ serials } = await core(page, 'virtual.start', {
    ...{ seed: 11, size, lawId: 'PF-104', finish: 'trimming', faultShare: 0, timeFactor: 10 },
  }));
  await untilWord(page, 'Ready');
  await page.getByLabel('Job').selectOption('trim');
  await page.getByLabel('Batch').first().fill('TFW-26-48');
}

const word = (page: Page): Promise<string | null> => page.locator('.known .word').textContent();
const piece = async (page: Page, serial: string): Promise<TrimPiece> => {
  const found = await core(page, 'trim.piece', { serial });
  if (found === null) throw new Error(`${serial} was never trimmed.`);
  return found;
};
const ends = ['Conforms', 'Accepted', 'Ended', 'Hopeless'];

/** Makes every cut that is asked for, with the pedal alone. */
async function cutAll(page: Page): Promise<number> {
  let cuts = 0;
  for (let now = await word(page); now?.startsWith('Cut ') === true; now = await word(page)) {
    const before = now;
    await press(launched.app, 'Enter');
    cuts += 1;
    await expect.poll(() => word(page), patience).not.toBe(before);
  }
  return cuts;
}

describe('a raw track', () => {
  it('is sorted, cut and re-measured with Enter alone until it is in, in at most three passes', {
    timeout: 180_000,
  }, async () => {
    const { app, page } = launched;
    const serial = serials[0] ?? '';
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    let now = await untilWord(page, 'Trimmable', ...ends);
    let passes = 0;
    while (now === 'Trimmable') {
      passes += 1;
      const plan = (await piece(page, serial)).plan;
      await press(app, 'Enter');
      await page.locator('.cut-card').waitFor();
      // Cautions stand where cutting is asked for.
      expect(await page.locator('.cut-cautions').textContent()).toMatch(/Eye protection.*dust.*blade.*emergency stop/s);
      expect(await cutAll(page)).toBe(plan?.cuts.length);
      await untilWord(page, 'Unmeasured');
      expect((await piece(page, serial)).state).toBe('cutsDone');
      await press(app, 'Enter');
      await untilWord(page, 'Measuring');
      now = await untilWord(page, 'Trimmable', ...ends);
    }
    expect(now).toBe('Accepted');
    expect(passes).toBeGreaterThan(0);
    expect(passes).toBeLessThanOrEqual(3);
    const done = await piece(page, serial);
    expect(done).toMatchObject({ state: 'accepted', pass: passes, firstSort: 'trimmable' });
    // One measurement before the cuts and one after each pass, all of them on disk.
    const runs = bench.read((archive) => archive.runsOfSerial(serial));
    expect(runs).toHaveLength(passes + 1);
    expect(runs[0]?.verdict).toBe('pass');
  });

  it('shows its batch: what was cut, and what it taught of the tool', { timeout: 30_000 }, async () => {
    const { page } = launched;
    await page.locator('.pane-choice').getByText('Batch').click();
    await page.locator('.gain-chart canvas').waitFor();
    expect(await page.locator('.batch-pane header').textContent()).toContain('1 of 1 piece done');
    expect(await page.locator('.counts').first().textContent()).toContain('Accepted after cuts1');
    await page.locator('.pane-choice').getByText('Track').click();
  });
});

describe('a careful hand that measures after its first cut', () => {
  it('needs all three passes, each asked for once, and brings the track in', { timeout: 180_000 }, async () => {
    const { app, page } = launched;
    const serial = serials[3] ?? '';
    await scan(app, serial);
    await untilWord(page, 'Ready');
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    for (const pass of [1, 2]) {
      await untilWord(page, 'Trimmable');
      expect(await page.locator('.key.main').textContent()).toContain(`Begin pass ${pass}`);
      await press(app, 'Enter');
      await page.locator('.cut-card').waitFor();
      const first = await word(page);
      await press(app, 'Enter');
      await expect.poll(() => word(page), patience).not.toBe(first);
      await page.getByRole('button', { name: 'Measure', exact: true }).click();
      await untilWord(page, 'Measuring');
    }
    await untilWord(page, 'Trimmable');
    expect(await page.locator('.travel header').textContent()).toContain('pass 3 of 3 planned');
    await press(app, 'Enter');
    await page.locator('.cut-card').waitFor();
    // All at once this time.
    await page.getByRole('button', { name: 'All cuts' }).click();
    const rows = await page.locator('.cut-list tbody tr').count();
    await press(app, 'Enter');
    await untilWord(page, 'Unmeasured');
    expect((await piece(page, serial)).passes.at(-1)?.cutsDone).toHaveLength(rows);
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    expect(await untilWord(page, ...ends)).toBe('Accepted');
    const done = await piece(page, serial);
    expect(done.passes.map(({ cutsDone }) => cutsDone.length)).toEqual([1, 1, rows]);
    // Cuts are numbered on, so no two of them share a number.
    const numbers = done.passes.flatMap(({ cutsDone }) => cutsDone);
    expect(new Set(numbers).size).toBe(numbers.length);
    await page.locator('.pane-choice').getByText('Batch').click();
    await page.locator('.gain-chart canvas').waitFor();
    await page.locator('.pane-choice').getByText('Track').click();
  });
});

describe('the live needle', () => {
  it('follows a virtual hand to the stop line and then fills the screen with Stop', { timeout: 120_000 }, async () => {
    const { app, page } = launched;
    const serial = serials[1] ?? '';
    await scan(app, serial);
    await untilWord(page, 'Ready');
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    await untilWord(page, 'Trimmable');
    await press(app, 'Enter');
    // One cut at a time again.
    await page.getByRole('button', { name: 'One cut' }).click();
    await page.locator('.cut-card').waitFor();
    const cell = (await piece(page, serial)).plan?.cuts[0]?.cellIndex;

    await page.getByRole('button', { name: 'Live needle' }).click();
    await untilWord(page, 'Live');
    const now = async (): Promise<number> => Number(await page.locator('.approach').getAttribute('aria-valuenow'));
    const rest = await now();
    await press(app, 'Enter');
    await expect.poll(now, { ...patience, interval: 20 }).toBeGreaterThan(rest);
    // A scan must not hide a needle under which a hand is cutting.
    await scan(app, serials[2] ?? '');
    await page.locator('.notice').filter({ hasText: 'live needle' }).waitFor();
    await page.getByLabel('Job').selectOption('measure');
    expect(await page.locator('.approach').isVisible()).toBe(true);
    await page.getByLabel('Job').selectOption('trim');
    await page.locator('.notice').getByRole('button', { name: 'Put away' }).click();
    await page.locator('.needle-stop').waitFor({ timeout: 60_000 });
    expect(await page.locator('.needle-stop').textContent()).toMatch(/Stop.*Take the tool away.*emergency stop/s);
    const box = await page.locator('.needle-stop').boundingBox();
    const work = await page.locator('.work').boundingBox();
    expect(box).toEqual(work);

    await press(app, 'Enter');
    await page.locator('.needle-stop').waitFor({ state: 'detached' });
    const planned = (await piece(page, serial)).plan?.cuts ?? [];
    const made = planned.filter(({ cellIndex }) => cellIndex === cell).map(({ number }) => number);
    expect(made).not.toEqual([]);
    // The needle closes first, then its cuts are written down.
    await expect.poll(async () => (await piece(page, serial)).passes.at(-1)?.cutsDone, patience).toEqual(made);
    await page.locator('.needle-pane').waitFor({ state: 'detached' });
  });

  it('closes with Escape, and the cut stays to be made', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    const serial = serials[1] ?? '';
    const before = (await piece(page, serial)).passes.at(-1)?.cutsDone;
    const asked = await word(page);
    await page.getByRole('button', { name: 'Live needle' }).click();
    await untilWord(page, 'Live');
    await press(app, 'Escape');
    await untilWord(page, 'Closed');
    await press(app, 'Enter');
    await page.locator('.needle-pane').waitFor({ state: 'detached' });
    expect(await word(page)).toBe(asked);
    expect((await piece(page, serial)).passes.at(-1)?.cutsDone).toEqual(before);
  });
});

describe('a window that is loaded anew between the cuts', () => {
  it('says that the piece was cut and not measured, and asks for nothing but a measurement', {
    timeout: 60_000,
  }, async () => {
    const { app, page } = launched;
    const serial = serials[1] ?? '';
    await page.reload();
    await untilWord(page, 'Unmeasured');
    expect(await page.locator('.known > .next').textContent()).toMatch(/Cut, not yet measured.*Cut nothing now/s);
    expect(await page.getByLabel('Job').inputValue()).toBe('trim');
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    await untilWord(page, 'Trimmable', ...ends);
    const measured = await piece(page, serial);
    expect(measured.mustRemeasure).toBe(false);
    expect(measured.passes.at(-1)?.runAfter).not.toBeNull();
  });
});

describe('the core killed between the last cut and the measurement', () => {
  it('comes back with the piece as cut and not measured, and never asks for its cuts again', {
    timeout: 120_000,
  }, async () => {
    const { app, page } = launched;
    const serial = serials[2] ?? '';
    await scan(app, serial);
    await untilWord(page, 'Ready');
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    await untilWord(page, 'Trimmable');
    await press(app, 'Enter');
    await page.locator('.cut-card').waitFor();
    await cutAll(page);
    await untilWord(page, 'Unmeasured');
    const { plan } = await piece(page, serial);

    process.kill(await corePid(bench.archivePath), 'SIGKILL');
    await page.locator('.known > .next').filter({ hasText: 'was cut, and the work was broken off' }).waitFor();
    expect(await word(page)).toBe('Unmeasured');
    expect(await page.locator('.known > .next').textContent()).toContain('Cut nothing now');
    expect(await page.locator('.cut-card, .cut-list').count()).toBe(0);
    // The virtual rig went with the core.
    expect(await page.locator('.key.main').textContent()).toContain('Go to Rig');
    const found = await piece(page, serial);
    expect(found).toMatchObject({ state: 'cutsDone', mustRemeasure: true, pass: 1 });
    expect(found.passes.at(-1)?.cutsDone).toEqual(plan?.cuts.map(({ number }) => number));
    await expect(core(page, 'trim.askCuts', { serial, operator: 'KD' })).rejects.toThrow(/measure/);
  });
});
