/** From the first start to the first verdict, on a virtual rig as fast as a real one. */
import type { Stop } from './stop.ts';

export const firstStops: readonly Stop[] = [
  {
    name: 'first-start-1-who',
    reach: async ({ page }) => {
      await page.locator('.first-start').waitFor();
      await page.getByLabel('Your initials').fill('KD');
    },
  },
  {
    name: 'first-start-2-rig',
    reach: async ({ page }) => {
      await page.keyboard.press('Enter');
      await page.getByLabel('Virtual rig').check();
    },
  },
  {
    name: 'first-start-3-cautions',
    reach: async ({ page }) => {
      await page.getByRole('button', { name: 'Connect' }).click();
      await page.getByRole('heading', { name: 'Before anything moves' }).waitFor();
    },
  },
  {
    name: 'bench-ready',
    reach: async ({ page, call }) => {
      await page.keyboard.press('Enter');
      await page.locator('.first-start').waitFor({ state: 'detached' });
      await call('settings.write', { operators: ['KD', 'MV', 'RO'] });
      await page.locator('[data-state="ready"]').waitFor();
      await page.locator('.strip').waitFor();
    },
  },
  {
    name: 'faders-empty',
    reach: async ({ page, open }) => {
      await open('Faders');
      await page.locator('.nothing-found').waitFor();
    },
  },
  {
    name: 'bench-ready-guard-open',
    reach: async ({ page, open, call }) => {
      await call('virtual.interlocks', { guardClosed: false, emergencyStopReleased: true, clampClosed: true });
      await open('Bench');
      await page.getByText('Close the guard, then press Enter').waitFor();
    },
  },
  {
    name: 'bench-waiting-guard',
    reach: async ({ page }) => {
      await page.keyboard.press('Enter');
      await page.locator('[data-state="waiting"]').waitFor();
    },
  },
  {
    name: 'bench-measuring',
    reach: async ({ page, call }) => {
      await call('virtual.interlocks', { guardClosed: true, emergencyStopReleased: true, clampClosed: true });
      await page.locator('[data-state="measuring"]').waitFor();
      await page.waitForFunction(
        () => Number(document.querySelector('.known [role="progressbar"]')?.getAttribute('aria-valuenow') ?? 0) >= 60,
        undefined,
        { timeout: 60_000 },
      );
    },
  },
  {
    name: 'bench-paused',
    reach: async ({ page }) => {
      await page.getByRole('button', { name: 'Pause' }).click();
      await page.locator('[data-state="paused"]').waitFor();
    },
  },
  {
    name: 'bench-void',
    reach: async ({ page }) => {
      await page.keyboard.press('Escape');
      await page.locator('[data-state="void"]').waitFor();
    },
  },
];
