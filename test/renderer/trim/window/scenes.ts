import type { Page } from 'playwright-core';
import type { Scene } from './look.ts';

/** The job is on the slip, and the batch is. */
const trim = async (page: Page): Promise<void> => {
  await page.getByLabel('Job').selectOption('trim');
  await page.getByLabel('Batch').first().fill('TFW-26-48');
};
const known = async (page: Page): Promise<void> => {
  await trim(page);
  await page.locator('.trim-known').waitFor();
};
const end = async (page: Page): Promise<void> => {
  await trim(page);
  await page.evaluate(async () => {
    const { tell, faderwright } = globalThis as unknown as {
      tell: (event: unknown) => void;
      faderwright: { callCore(name: string, input: unknown): Promise<{ output: unknown }> };
    };
    tell({ kind: 'trimPiece', piece: (await faderwright.callCore('trim.piece', { serial: '' })).output });
  });
  await page.locator('.trim-known').waitFor();
};
const cuts = async (page: Page): Promise<void> => {
  await known(page);
  await page.getByRole('button', { name: /^Begin pass/ }).click();
  await page.locator('.cut-card').waitFor();
};
const needle = (approach: number, more: object) => async (page: Page) => {
  await cuts(page);
  await page.getByRole('button', { name: 'Live needle' }).click();
  await page.locator('.needle-pane').waitFor();
  await page.evaluate(
    ([at, rest]) => {
      const { tell, needle } = globalThis as unknown as {
        tell: (event: unknown) => void;
        needle: (cell: number, approach: number, more: object) => unknown;
      };
      tell({ kind: 'needle', needle: needle(3, at as number, rest as object) });
    },
    [approach, more] as const,
  );
};

export const trimScenes: readonly Scene[] = [
  { name: 'trim-none', query: '', play: trim },
  { name: 'trim-sorting', query: 'piece=sorting', play: known },
  { name: 'trim-trimmable', query: 'piece=planned', play: known },
  { name: 'trim-second-pass', query: 'piece=secondPass', play: known },
  { name: 'trim-conforms', query: 'piece=conforms', play: end },
  { name: 'trim-hopeless', query: 'piece=hopeless', play: end },
  { name: 'trim-accepted', query: 'piece=accepted', play: end },
  { name: 'trim-ended', query: 'piece=ended', play: end },
  { name: 'trim-found-unmeasured', query: 'piece=unmeasured', play: known },
  { name: 'trim-cut-one', query: 'piece=planned', play: cuts },
  {
    name: 'trim-cut-four',
    query: 'piece=planned',
    play: async (page) => {
      await cuts(page);
      for (const number of [1, 2, 3]) {
        await page.keyboard.press('Enter');
        await page
          .locator('.trim-known .word')
          .filter({ hasText: `Cut ${number + 1}` })
          .waitFor();
      }
    },
  },
  {
    name: 'trim-cut-all',
    query: 'piece=planned',
    play: async (page) => {
      await cuts(page);
      await page.getByRole('button', { name: 'All cuts' }).click();
    },
  },
  {
    name: 'trim-unmeasured',
    query: 'piece=planned',
    play: async (page) => {
      await cuts(page);
      await page.getByRole('button', { name: 'All cuts' }).click();
      await page.keyboard.press('Enter');
      await page.locator('.trim-known .word').filter({ hasText: 'Unmeasured' }).waitFor();
    },
  },
  { name: 'trim-needle-live', query: 'piece=planned', play: needle(0.55, {}) },
  {
    name: 'trim-needle-waiting',
    query: 'piece=planned&virtual=1',
    play: needle(0, { state: 'waiting', rateOhmPerS: null }),
  },
  { name: 'trim-needle-stop', query: 'piece=planned', play: needle(1.02, { state: 'stop' }) },
  {
    name: 'trim-needle-closed',
    query: 'piece=planned',
    play: needle(0.6, {
      state: 'ended',
      nowOhm: null,
      rateOhmPerS: null,
      reason: 'The guard was closed while the needle was open.',
    }),
  },
  {
    name: 'trim-batch',
    query: 'piece=planned',
    play: async (page) => {
      await known(page);
      await page.getByText('Batch', { exact: true }).last().click();
      await page.locator('.batch-tables').waitFor();
    },
  },
  {
    name: 'trim-batch-empty',
    query: '',
    play: async (page) => {
      await trim(page);
      await page.getByText('Batch', { exact: true }).last().click();
      await page.locator('.nothing-yet').last().waitFor();
    },
  },
];
