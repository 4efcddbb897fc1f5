/** Somebody who was only told "measure this fader": from the first start to a verdict, and the result found again. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type LaunchedApp, launchApp } from './app.ts';
import { patience, untilVerdict, untilWord } from './hands.ts';

let launched: LaunchedApp;
beforeAll(async () => {
  launched = await launchApp();
}, 60_000);
afterAll(() => launched.close());

describe('the first start', () => {
  it('leads with the mouse to a verdict that is found again by its serial', { timeout: 90_000 }, async () => {
    const { page } = launched;
    await page.getByLabel('Your initials').fill('hj');
    await page.getByRole('button', { name: 'Next' }).click();
    // The virtual rig is chosen already where no rig is plugged in.
    await expect.poll(() => page.getByLabel('Virtual rig').isChecked(), patience).toBe(true);
    await page.getByLabel('Speed').selectOption({ label: 'Ten times faster' });
    await page.getByRole('button', { name: 'Connect' }).click();
    await page.getByText('Emergency stop', { exact: true }).last().waitFor();
    await page.getByRole('button', { name: 'To the Bench' }).click();

    await untilWord(page, 'Ready');
    expect(await page.locator('.rail .tape').textContent()).toBe('Virtual rig');
    await page.getByRole('button', { name: 'Measure 00001' }).click();
    await untilWord(page, 'Measuring');
    const verdict = await untilVerdict(page);
    expect(['Pass', 'Doubt', 'Fail']).toContain(verdict);

    await page.getByRole('link', { name: 'Faders' }).click();
    await page.getByRole('searchbox', { name: 'Serial' }).fill('48-00001');
    await page.getByText('1 run found').waitFor();
    await page.locator('.found-row').first().click();
    const head = page.locator('.record-head');
    expect(await head.locator('.value').textContent()).toBe('PF104-26-48-00001');
    expect(await head.textContent()).toContain(verdict);
    expect(await head.locator('.tape').textContent()).toBe('Virtual rig');
    await page.getByRole('tab', { name: 'Record' }).click();
    expect(await page.getByRole('tabpanel').textContent()).toContain('OperatorHJ');
    await page.getByRole('tab', { name: 'Readings' }).click();
    expect(await page.getByRole('tabpanel').locator('tbody tr').count()).toBeGreaterThan(10);
  });

  it('does not ask again after the window is loaded anew', async () => {
    const { page } = launched;
    await page.reload();
    await untilWord(page, 'Ready');
    expect(await page.getByRole('dialog').count()).toBe(0);
    // What was measured stands among the last pieces.
    expect(await page.locator('.slip ol li').first().textContent()).toContain('00001');
  });
});
