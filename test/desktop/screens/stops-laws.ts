/** The law library: read, compared, edited, a file refused. */
import type { Page } from 'playwright-core';
import type { Stop } from './stop.ts';

/** Zero tolerance, a letter for a digit, a tolerance left out, travel that goes back. */
const wrongPoints = `travel_mm,loss_db,minus_db,plus_db,travel_tol_mm,mark
0,,,,,∞
6,70,6,any,,-60
12,60,0,3,,-50
18,6O,2,2,,-40
30,40,2,,,-30
42,30,1,1,,-20
40,25,1,1,,
54,20,0.5,0.5,,-10
78,10,0.5,0.5,,0
102,0.3,0.3,0.5,,+10
`;

async function pick(page: Page, id: string, revision: number): Promise<void> {
  const family = page.locator('.law-list nav > div').filter({ has: page.getByRole('heading', { name: id }) });
  await family.getByRole('button', { name: `Revision ${revision}` }).click();
}

export const lawsStops: readonly Stop[] = [
  {
    name: 'laws-law',
    reach: async ({ page, open }) => {
      await open('Laws');
      await pick(page, 'PF-104', 1);
      await page.getByText('Used by').waitFor();
    },
  },
  {
    name: 'laws-stepped',
    reach: async ({ page }) => {
      await pick(page, 'QS-54', 1);
      await page.getByRole('heading', { name: 'QS-54 revision 1' }).waitFor();
    },
  },
  {
    name: 'laws-edit-problems',
    reach: async ({ page }) => {
      await pick(page, 'PF-104', 1);
      await page.getByRole('button', { name: 'Write the next revision' }).click();
      await page.locator('[data-cell="18-lossDb"]').fill('4O');
      await page.locator('[data-cell="19-minusDb"]').fill('0');
    },
  },
  {
    name: 'laws-edit-marks',
    reach: async ({ page }) => {
      await page.getByRole('tab', { name: 'Marks' }).click();
      await page.locator('.edit-table').waitFor();
    },
  },
  {
    name: 'laws-edit-whole',
    reach: async ({ page }) => {
      await page.getByRole('tab', { name: 'Whole' }).click();
      await page.locator('.whole-editor').waitFor();
    },
  },
  {
    name: 'laws-edit-sound',
    reach: async ({ page }) => {
      await page.getByRole('tab', { name: 'Points' }).click();
      await page.locator('[data-cell="18-lossDb"]').fill('2.5');
      await page.locator('[data-cell="19-minusDb"]').fill('0.5');
      await page.locator('[data-cell="12-lossDb"]').fill('18.2');
      await page.locator('[data-cell="12-plusDb"]').fill('0.8');
      await page.locator('.law-state').filter({ hasText: 'Sound' }).waitFor();
    },
  },
  {
    name: 'laws-compare',
    reach: async ({ page }) => {
      await page.getByRole('button', { name: 'Keep as revision 2' }).click();
      await page.locator('.law-note').waitFor();
    },
  },
  {
    name: 'laws-refused',
    reach: async ({ page, offerFile }) => {
      await offerFile('brackwater-pf104.csv', wrongPoints);
      await page.getByRole('button', { name: 'Take in a file' }).click();
      await page.locator('.refused').waitFor();
    },
  },
];
