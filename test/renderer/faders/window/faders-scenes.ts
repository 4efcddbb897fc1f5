import type { Page } from 'playwright-core';
import type { Scene } from './look.ts';

const open = async (page: Page): Promise<void> => {
  await page.locator('.rail a').nth(1).click();
  await page.locator('.faders').waitFor();
};
const openRow = async (page: Page, row: number): Promise<void> => {
  await open(page);
  await page.locator('.found-row').nth(row).click();
  await page.locator('.record-tabs').waitFor();
};
const tab = (name: string) => async (page: Page) => {
  await openRow(page, 0);
  await page.getByRole('tab', { name }).click();
};
const verdict = (word: string) => async (page: Page) => {
  await open(page);
  await page.locator('.verdict-choice button').filter({ hasText: word }).click();
  await page.waitForTimeout(300);
  await page.locator('.found-row').first().click();
  await page.locator('.record-tabs').waitFor();
};

export const fadersScenes: readonly Scene[] = [
  { name: 'faders-empty', query: 'runs=0', play: open },
  { name: 'faders-many', play: open },
  { name: 'faders-one', query: 'runs=1&virtual=1', play: (page) => openRow(page, 0) },
  { name: 'faders-pass', play: verdict('Pass') },
  { name: 'faders-doubt', play: verdict('Doubt') },
  { name: 'faders-fail', play: verdict('Fail') },
  { name: 'faders-void', play: verdict('Void') },
  { name: 'faders-why', play: tab('Why') },
  { name: 'faders-readings', play: tab('Readings') },
  { name: 'faders-raw', play: tab('Raw') },
  { name: 'faders-ends', play: tab('Ends') },
  { name: 'faders-record', play: tab('Record') },
  {
    name: 'faders-overlay',
    play: async (page) => {
      await openRow(page, 2);
      await page.getByRole('button', { name: /over$/ }).last().click();
      await page.locator('.laid-note').filter({ hasText: 'point at a line' }).waitFor({ timeout: 60_000 });
      const box = await page.locator('.deviation-chart').boundingBox();
      if (box !== null) await page.mouse.move(box.x + box.width * 0.45, box.y + box.height * 0.42);
    },
  },
  {
    name: 'faders-none-found',
    play: async (page) => {
      await open(page);
      await page.locator('.find-field input').first().fill('XX9');
      await page.locator('.find-field input').last().fill('yesterday');
      await page.locator('.nothing-found').waitFor();
    },
  },
  {
    name: 'faders-export',
    play: async (page) => {
      await open(page);
      await page.locator('.find-field input').nth(1).fill('TFW-26-48');
      await page.waitForTimeout(300);
      await page.getByRole('button', { name: 'Write out' }).click();
      await page.locator('dialog').waitFor();
    },
  },
  {
    name: 'faders-exporting',
    query: 'slow=4000',
    play: async (page) => {
      await openRow(page, 0);
      await page.getByRole('button', { name: 'Write this run' }).click();
      await page.getByRole('button', { name: /^Points/ }).click();
      await page.locator('.ruler').waitFor();
      await page.waitForTimeout(4_300);
    },
  },
  {
    name: 'faders-exported',
    play: async (page) => {
      await openRow(page, 0);
      await page.getByRole('button', { name: 'Write this run' }).click();
      await page.getByRole('button', { name: /^Points/ }).click();
      await page.getByText('Written:').waitFor();
    },
  },
];
