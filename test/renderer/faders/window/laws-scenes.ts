import type { Page } from 'playwright-core';
import type { Scene } from './look.ts';

const open = async (page: Page): Promise<void> => {
  await page.locator('.rail a').nth(2).click();
  await page.locator('.laws').waitFor();
};
const pick = async (page: Page, id: string, revision: number): Promise<void> => {
  await open(page);
  const family = page.locator('.law-list nav > div').filter({ has: page.getByRole('heading', { name: id }) });
  await family.getByRole('button', { name: `Revision ${revision}` }).click();
};
const edit = async (page: Page): Promise<void> => {
  await pick(page, 'PF-104', 3);
  await page.getByRole('button', { name: 'Write the next revision' }).click();
};
const giveFile = async (page: Page, name: string, text: string): Promise<void> => {
  await page.evaluate((file) => Object.assign(globalThis, { nextFile: file }), { name, text });
  await page.getByRole('button', { name: 'Take in a file' }).click();
};

const wrongPoints = `travel_mm,loss_db,minus_db,plus_db,travel_tol_mm,mark
0,,,,,∞
6,70,6,any,,-60
12,60,0,3,,-50
18,6O,2,2,,-40
30,40,2,,,-30
42,30,1,1,,-20
40,25,1,1,,
54,20,0.5,0,5,,-10
78,10,0.5,0.5,,0
102,0.3,0.3,0.5,,+10
`;
const goodPoints = wrongPoints
  .replace('12,60,0,3', '12,60,3,3')
  .replace('6O', '50')
  .replace('30,40,2,,', '30,40,2,2,')
  .replace('40,25,1,1,,\n', '')
  .replace('0.5,0,5', '0.5,0.5');

export const lawsScenes: readonly Scene[] = [
  { name: 'laws-none', query: 'laws=none', play: open },
  { name: 'laws-linear', play: (page) => pick(page, 'PF-104', 3) },
  { name: 'laws-stepped', play: (page) => pick(page, 'QS-54', 1) },
  {
    name: 'laws-compare',
    play: async (page) => {
      await pick(page, 'PF-104', 3);
      await page.locator('.lay-choice select').selectOption('1');
    },
  },
  { name: 'laws-edit', play: edit },
  {
    name: 'laws-edit-sound',
    play: async (page) => {
      await edit(page);
      await page.locator('[data-cell="12-lossDb"]').fill('16.2');
      await page.locator('[data-cell="12-plusDb"]').fill('0.8');
    },
  },
  {
    name: 'laws-edit-problems',
    play: async (page) => {
      await edit(page);
      await page.locator('[data-cell="18-lossDb"]').fill('4O');
      await page.locator('[data-cell="19-minusDb"]').fill('0');
      await page.locator('[data-cell="17-travelMm"]').fill('99');
    },
  },
  {
    name: 'laws-edit-marks',
    play: async (page) => {
      await edit(page);
      await page.getByRole('tab', { name: 'Marks' }).click();
      await page.locator('.edit-table input').nth(3).fill('');
    },
  },
  {
    name: 'laws-edit-whole',
    play: async (page) => {
      await edit(page);
      await page.getByRole('tab', { name: 'Whole' }).click();
      await page.locator('.whole-editor input').nth(2).fill('30');
    },
  },
  {
    name: 'laws-kept',
    play: async (page) => {
      await edit(page);
      await page.locator('[data-cell="12-lossDb"]').fill('16.2');
      await page.getByRole('button', { name: 'Keep as revision 4' }).click();
      await page.locator('.law-note').waitFor();
    },
  },
  {
    name: 'laws-refused',
    play: async (page) => {
      await pick(page, 'PF-104', 3);
      await giveFile(page, 'brackwater-pf104.csv', wrongPoints);
      await page.locator('.refused').waitFor();
    },
  },
  {
    name: 'laws-taken',
    play: async (page) => {
      await pick(page, 'PF-104', 3);
      await giveFile(page, 'brackwater-pf104.csv', goodPoints);
      await page.locator('.edit-table').waitFor();
    },
  },
];
