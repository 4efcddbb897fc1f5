/** What was measured, found and opened in full. */
import { batchName } from './bench.ts';
import type { Stop } from './stop.ts';

const tab = (name: string): Stop => ({
  name: `faders-${name.toLowerCase()}`,
  reach: async ({ page }) => {
    await page.getByRole('tab', { name }).click();
    await page.locator('.record-part > *').first().waitFor();
  },
});

export const fadersStops: readonly Stop[] = [
  {
    name: 'faders-trouble',
    reach: async ({ page, open }) => {
      await open('Faders');
      await page.locator('.troubles').waitFor();
      await page.locator('.found-row').nth(5).waitFor();
    },
  },
  {
    name: 'faders-list',
    reach: async ({ page, open }) => {
      const away = page.locator('.troubles').getByRole('button', { name: 'Put away' });
      while ((await away.count()) > 0) await away.first().click();
      await open('Faders');
      await page.locator('.found-row').nth(5).waitFor();
    },
  },
  {
    name: 'faders-deviation-fail',
    reach: async ({ page }) => {
      await page.locator('.verdict-choice button').filter({ hasText: 'Fail' }).click();
      await page.locator('.found-count').filter({ hasNotText: 'Looking' }).waitFor();
      await page.locator('.found-row').first().click();
      await page.locator('.record-head').filter({ hasText: 'Fail' }).waitFor();
    },
  },
  tab('Why'),
  tab('Readings'),
  tab('Raw'),
  tab('Ends'),
  tab('Record'),
  {
    name: 'faders-void',
    reach: async ({ page }) => {
      await page.getByRole('tab', { name: 'Deviation' }).click();
      await page.locator('.verdict-choice button').filter({ hasText: 'Void' }).click();
      await page.locator('.found-row').first().click();
      await page.locator('.record-head').filter({ hasText: 'Void' }).waitFor();
    },
  },
  {
    name: 'faders-overlay',
    reach: async ({ page }) => {
      await page.locator('.verdict-choice button').filter({ hasText: 'Void' }).click();
      await page.locator('.found-row').nth(1).click();
      await page
        .getByRole('button', { name: /^Lay .* over$/ })
        .last()
        .click();
      await page.locator('.laid-note').filter({ hasText: 'point at a line' }).waitFor();
    },
  },
  {
    name: 'faders-write-out',
    reach: async ({ page }) => {
      await page.getByLabel('Batch').fill(batchName);
      await page.getByRole('button', { name: 'Write out' }).click();
      await page.locator('dialog:modal').waitFor();
    },
  },
  {
    name: 'faders-none-found',
    reach: async ({ page }) => {
      await page.locator('dialog').getByRole('button', { name: 'Put away' }).click();
      await page.getByLabel('Serial').fill('XX9');
      await page.getByLabel('Day').fill('yesterday');
      await page.locator('.nothing-found').waitFor();
    },
  },
];
