/** The connected rig, and a calibration step by step. */
import type { Stop } from './stop.ts';

export const rigStops: readonly Stop[] = [
  {
    name: 'rig-connected',
    reach: async ({ page, open }) => {
      await open('Rig');
      await page.locator('.live .reading .value').filter({ hasText: 'dB' }).filter({ hasText: /\d/ }).waitFor();
      await page.locator('.history tbody tr').first().waitFor();
    },
  },
  {
    name: 'rig-guard-open',
    reach: async ({ page, call }) => {
      await call('virtual.interlocks', { guardClosed: false, emergencyStopReleased: true, clampClosed: true });
      await page.getByText('The guard is open: fingers clear.').waitFor();
    },
  },
  {
    name: 'rig-calibrating-gauge',
    reach: async ({ page, call }) => {
      await call('virtual.interlocks', { guardClosed: true, emergencyStopReleased: true, clampClosed: true });
      await page.locator('.plans').getByRole('button', { name: 'Both' }).click();
      await call('rig.home', {});
      await call('rig.creep', { targetMm: 10, speedMmPerS: 20 });
      await page.getByLabel('True travel of the gauge').fill('10');
      await page.getByRole('button', { name: 'Take this place' }).click();
      await page.getByText('Set the second gauge').waitFor();
    },
  },
  {
    name: 'rig-calibrating-divider',
    reach: async ({ page, call }) => {
      await call('rig.creep', { targetMm: 90, speedMmPerS: 20 });
      await page.getByLabel('True travel of the gauge').fill('90');
      await page.getByRole('button', { name: 'Take this place' }).click();
      await page.getByRole('button', { name: 'Put −20 dB in' }).click();
      await page.getByRole('button', { name: 'Read −20 dB' }).click();
      await page.getByRole('button', { name: 'Put −40 dB in' }).waitFor();
    },
  },
  {
    name: 'rig-calibrating-result',
    reach: async ({ page }) => {
      await page.getByRole('button', { name: 'Put −40 dB in' }).click();
      await page.getByRole('button', { name: 'Read −40 dB' }).click();
      await page.getByRole('button', { name: 'Put −60 dB in' }).click();
      await page.getByRole('button', { name: 'Read −60 dB' }).click();
      await page.locator('.changes').waitFor();
    },
  },
];
