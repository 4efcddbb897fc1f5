/** Position and meter calibrated step by step on the virtual rig, through the Rig screen. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { RunRecord } from '../../src/archive/records.ts';
import { type LaunchedApp, launchApp } from './app.ts';
import { type BenchFolder, benchFolder } from './bench-folder.ts';
import { core, patience, press, scan, startVirtualRig, untilVerdict, untilWord } from './hands.ts';

let bench: BenchFolder;
let launched: LaunchedApp;
let serial: string;
let before: RunRecord;
beforeAll(async () => {
  bench = await benchFolder();
  launched = await launchApp({ folder: bench.folder, archivePath: bench.archivePath });
  await untilWord(launched.page, 'No rig');
  [serial = ''] = await startVirtualRig(launched.page, { timeFactor: 20 });
  before = await measureFirst();
}, 60_000);
afterAll(async () => {
  await launched?.close();
  await bench?.remove();
});

async function measureFirst(): Promise<RunRecord> {
  const { app, page } = launched;
  await scan(app, serial);
  await untilWord(page, 'Ready');
  await press(app, 'Enter');
  await untilWord(page, 'Measuring');
  await untilVerdict(page);
  const record = bench.read((archive) => archive.run(archive.runsOfSerial(serial)[0]?.runId ?? ''));
  if (record === null) throw new Error(`${serial} is not on record.`);
  return record;
}

const panel = (page: Page) => page.getByRole('region', { name: 'Calibration', exact: true });
const history = (page: Page) => page.getByRole('region', { name: 'Calibration history' }).locator('tbody tr');

/** Holds a jog key until the position has passed this, mm. */
async function jogPast(page: Page, mm: number): Promise<void> {
  const key = page.getByRole('group', { name: /^Jog/ }).getByRole('button', { name: 'Opening' });
  await expect.poll(() => key.getAttribute('aria-disabled'), patience).toBe('false');
  await key.focus();
  await page.keyboard.down('Space');
  await expect.poll(() => shownMm(page), { ...patience, interval: 20 }).toBeGreaterThan(mm);
  await page.keyboard.up('Space');
  await page.getByText('Still.', { exact: true }).waitFor();
}

/** The gauge touches where the knob stands: its true travel by the calibration until now. */
async function takeGauge(page: Page): Promise<void> {
  const { travelMm } = await core(page, 'rig.read', {});
  await page.getByLabel('True travel of the gauge, mm').fill((travelMm ?? Number.NaN).toFixed(3));
  await page.getByRole('button', { name: /^Take this place/ }).click();
}

const shownMm = async (page: Page): Promise<number> =>
  Number.parseFloat((await page.locator('.rig-strip .value').textContent()) ?? 'NaN');

describe('calibrating through the Rig screen', () => {
  it('takes two gauges and three dividers, shows old and new, and keeps the result', { timeout: 90_000 }, async () => {
    const { page } = launched;
    await page.getByRole('link', { name: 'Rig' }).click();
    await expect.poll(() => history(page).count(), patience).toBe(1);
    await page.getByRole('button', { name: 'Home' }).click();
    await expect.poll(() => page.getByRole('button', { name: 'Home' }).isEnabled(), patience).toBe(true);
    await page
      .getByRole('group', { name: /^Jog speed/ })
      .getByText('20', { exact: true })
      .click();
    await panel(page).getByRole('button', { name: 'Both five steps' }).click();

    // The first gauge where Home left the knob, the second anywhere beyond 60 mm: how far a jog goes is the machine's affair.
    await takeGauge(page);
    await jogPast(page, 60);
    await takeGauge(page);
    for (const loss of [20, 40, 60]) {
      await page.getByRole('button', { name: `Put −${loss} dB in` }).click();
      await page.getByRole('button', { name: `Read −${loss} dB` }).click();
    }

    const changes = panel(page).locator('table.changes');
    await changes.waitFor();
    expect(await changes.textContent()).toContain('Position scale');
    expect(await changes.textContent()).toContain('Meter gain');
    await page.getByRole('button', { name: /^Keep/ }).click();
    await expect.poll(() => history(page).count(), patience).toBe(2);
    expect(await history(page).first().textContent()).toContain('KD');
    expect(await history(page).first().getAttribute('aria-current')).toBe('true');
  });

  it('the same piece reads the same as before, and its record names the new calibration', {
    timeout: 60_000,
  }, async () => {
    const { page } = launched;
    await page.getByRole('link', { name: 'Bench' }).click();
    const after = await measureFirst();
    const newest = bench.read((archive) => archive.activeCalibration(after.rig?.serial ?? ''));
    expect(newest?.id).toMatch(/^cal-/);
    expect(after.calibrationId).toBe(newest?.id);
    expect(after.points).toHaveLength(before.points.length);
    for (const [index, point] of after.points.entries()) {
      const was = before.points[index];
      const mayDifferDb = Math.hypot(point.uncertaintyDb ?? Number.NaN, was?.uncertaintyDb ?? Number.NaN);
      expect(Math.abs((point.deviationDb ?? Number.NaN) - (was?.deviationDb ?? Number.NaN))).toBeLessThan(mayDifferDb);
    }
  });
});
