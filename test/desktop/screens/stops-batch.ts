/** A rig that has gone, another that comes, and a batch with every verdict in it. */
import { scan } from '../hands.ts';
import { batch, type Tour } from './bench.ts';
import type { Stop } from './stop.ts';

const serialOf = (index: number): string => `PF104-26-48-${String(index + 1).padStart(5, '0')}`;

/** Measures until the first of that verdict; which fader it is does not matter, only that the batch has one. */
async function untilVerdict(tour: Tour, wanted: string, from: number, to: number): Promise<void> {
  for (let index = from; index < to; index += 1) {
    const { verdict } = await tour.measure(serialOf(index));
    if (verdict === wanted) {
      await tour.page.locator(`[data-state="${wanted}"]`).waitFor();
      return;
    }
  }
  throw new Error(`Seed ${batch.seed}: none of the faders ${from} to ${to} gave ${wanted}.`);
}

export const batchStops: readonly Stop[] = [
  {
    name: 'rig-disconnected',
    reach: async ({ page, open }) => {
      await open('Rig');
      await page.getByRole('button', { name: 'End the virtual rig' }).click();
      await page.locator('.ports').waitFor();
    },
  },
  {
    name: 'rig-virtual-form',
    reach: async ({ page }) => {
      await page.locator('.port').filter({ hasText: 'Virtual rig' }).click();
      await page.locator('.virtual-form').waitFor();
      await page.getByLabel('Seed', { exact: false }).first().fill(String(batch.seed));
    },
  },
  {
    name: 'rig-trouble',
    reach: async ({ page }) => {
      await page.getByLabel('Port that is not listed').fill('/dev/ttyNONE');
      await page.getByRole('button', { name: 'Connect' }).click();
      await page.locator('.troubles').waitFor();
    },
  },
  {
    name: 'bench-no-rig',
    reach: async ({ app, page, open }) => {
      await page.locator('.troubles').getByRole('button', { name: 'Put away' }).click();
      await open('Bench');
      // The last verdict stays until the next piece is taken in hand.
      await scan(app, serialOf(0));
      await page.locator('[data-state="noRig"]').waitFor();
    },
  },
  {
    name: 'bench-pass',
    reach: async (tour) => {
      await tour.call('virtual.start', { ...batch, timeFactor: 1_000 });
      await tour.page.locator('[data-state="ready"], [data-state="void"]').first().waitFor();
      await untilVerdict(tour, 'pass', 0, 5);
    },
  },
  { name: 'bench-fail', reach: (tour) => untilVerdict(tour, 'fail', 5, 20) },
  { name: 'bench-doubt', reach: (tour) => untilVerdict(tour, 'doubt', 20, 26) },
  {
    name: 'bench-looked-up',
    reach: async ({ page }) => {
      await page.locator('.slip li button').nth(3).click();
      await page.getByText('Measured 20').waitFor();
    },
  },
  {
    name: 'bench-trouble',
    reach: async ({ page, call }) => {
      await page.locator('.scan-field input').fill('PF104-26-48-09999');
      await page.keyboard.press('Enter');
      await page.getByText('Press Enter to measure 09999').waitFor();
      await page.keyboard.press('Enter');
      await page.locator('.troubles').waitFor();
      await call('snapshot', {});
    },
  },
];
