/** The whole task without a mouse: first start, measuring, pausing, stopping, finding the result, another law. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type LaunchedApp, launchApp } from './app.ts';
import { hasFocus, patience, press, startVirtualRig, tabTo, untilVerdict, untilWord } from './hands.ts';

let launched: LaunchedApp;
beforeAll(async () => {
  launched = await launchApp();
}, 60_000);
afterAll(() => launched.close());

describe('by keyboard only', () => {
  it('goes through the first start with Enter', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    await expect.poll(() => hasFocus(page.getByLabel('Your initials')), patience).toBe(true);
    await press(app, ...'kd', 'Enter');
    await expect.poll(() => page.getByLabel('Virtual rig').isChecked(), patience).toBe(true);
    await tabTo(app, page, page.getByLabel('Speed'));
    await press(app, 'Down');
    expect(await page.getByLabel('Speed').inputValue()).toBe('10');
    await tabTo(app, page, page.getByRole('button', { name: 'Connect' }));
    await press(app, 'Enter');
    await expect.poll(() => hasFocus(page.getByRole('button', { name: 'To the Bench' })), patience).toBe(true);
    await press(app, 'Enter');
    await untilWord(page, 'Ready');
  });

  it('measures with Enter, pauses, goes on with Enter, and reads the verdict', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    // Slow enough to pause in, also on a busy machine.
    await startVirtualRig(page, { timeFactor: 3 });
    await untilWord(page, 'Ready');
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    await tabTo(app, page, page.getByRole('button', { name: 'Pause' }));
    await press(app, 'Space');
    await untilWord(page, 'Paused');
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    expect(['Pass', 'Doubt', 'Fail']).toContain(await untilVerdict(page));
  });

  it('takes a typed serial with Enter and stops with Escape', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    const field = page.getByLabel('Serial, scan or type');
    await tabTo(app, page, field);
    await page.keyboard.type('pf104-26-48-00005', { delay: 60 });
    await press(app, 'Enter');
    await expect.poll(() => field.inputValue(), patience).toBe('PF104-26-48-00005');
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    await press(app, 'Escape');
    expect(await untilVerdict(page)).toBe('Void');
    expect(await page.locator('.known > .next').textContent()).toContain('The operator stopped the run.');
  });

  it('finds both runs, opens one in full, and comes back', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    await page.keyboard.press('Control+2');
    await tabTo(app, page, page.getByRole('searchbox', { name: 'Serial' }));
    await page.keyboard.type('26-48', { delay: 60 });
    await page.getByText('2 runs found').waitFor();
    await tabTo(app, page, page.getByRole('list', { name: /^Found runs/ }));
    await press(app, 'Down');
    await expect.poll(() => page.locator('.record-head .value').textContent(), patience).toBe('PF104-26-48-00005');
    await press(app, 'Down');
    await expect.poll(() => page.locator('.record-head .value').textContent(), patience).toBe('PF104-26-48-00001');
    await tabTo(app, page, page.getByRole('tab', { selected: true }));
    await press(app, 'Right');
    await expect.poll(() => page.getByRole('tab', { selected: true }).textContent(), patience).toBe('Why');
    await page.keyboard.press('Control+1');
    // The piece after the one that was measured last is offered.
    await untilWord(page, 'Void', 'Ready');
    await page.getByRole('button', { name: 'Measure 00006' }).waitFor();
  });
});
