/** Raw tracks: sorted, cut, watched by the live needle, measured again, and their batch. */
import type { TrimPiece } from '../../../src/contract/trim.ts';
import { untilWord } from '../hands.ts';
import type { Tour } from './bench.ts';
import type { Stop } from './stop.ts';

const batchName = 'TFW-26-49';
const seed = 11;
const serialOf = (index: number): string => `PF104-26-47-${String(index + 1).padStart(5, '0')}`;
const ends = ['Conforms', 'Accepted', 'Ended', 'Hopeless'];

async function measured({ call }: Tour, serial: string): Promise<TrimPiece> {
  const { runId } = await call('trim.start', { serial, operator: 'KD', lawId: 'PF-104', batch: batchName });
  return call('trim.wait', { runId });
}

/** Trims a piece to its end without the window: it shows what comes. */
async function trimmed(tour: Tour, serial: string): Promise<TrimPiece> {
  let piece = await measured(tour, serial);
  while (piece.state === 'planned') {
    const asked = await tour.call('trim.askCuts', { serial, operator: 'KD' });
    await tour.call('virtual.applyCuts', { cuts: [...(asked.plan?.cuts ?? [])], toolId: asked.toolId });
    await tour.call('trim.cutsDone', { serial, operator: 'KD', cuts: 'all' });
    piece = await measured(tour, serial);
  }
  return piece;
}

/** Measures until a piece of that sort stands on the Bench; which one it is does not matter. */
async function sorted(tour: Tour, sort: TrimPiece['sort'], from: number, to: number): Promise<void> {
  for (let index = from; index < to; index += 1) {
    const piece = await measured(tour, serialOf(index));
    if (piece.sort === sort) return;
  }
  throw new Error(`No ${sort} among the tracks ${from + 1} to ${to} of seed ${seed}.`);
}

const start = ({ call }: Tour) =>
  call('virtual.start', { seed, size: 40, lawId: 'PF-104', finish: 'trimming', faultShare: 0, timeFactor: 20 });

/** A next revision that asks for less resistance than any of these tracks has: film cannot be put on again. */
async function lowerResistance({ call }: Tour): Promise<void> {
  const revisions = (await call('law.list', {})).map(({ data }) => data).filter(({ id }) => id === 'PF-104');
  const newest = revisions.toSorted((a, b) => b.revision - a.revision)[0];
  if (newest === undefined) throw new Error('The law PF-104 is missing.');
  const resistance = { nominalOhm: 5_000, toleranceFraction: 0.2 };
  await call('law.store', { law: { ...newest, revision: newest.revision + 1, resistance } });
}

/** A virtual hand taken away half-way to the stop line. */
async function cutHalfWay({ page, call }: Tour): Promise<void> {
  const serial = (await call('snapshot', {})).trim?.serial ?? '';
  const piece = await call('trim.piece', { serial });
  const done = piece?.passes.at(-1)?.cutsDone ?? [];
  const cut = piece?.plan?.cuts.find(({ number }) => !done.includes(number));
  if (cut?.kind !== 'shave' || piece === null) throw new Error(`No shave of ${serial} is waiting to be made.`);
  const { cellIndex, side, fromMm, toMm } = cut;
  const depthMmPerS = cut.depthMm / 12;
  await call('virtual.cutLive', {
    cut: { ...{ cellIndex, side, fromMm, toMm, depthMmPerS }, toolId: piece.toolId },
  });
  const bar = page.locator('.approach');
  const at = async (name: string): Promise<number> => Number(await bar.getAttribute(name));
  const [from, to] = [await at('aria-valuemin'), await at('aria-valuemax')];
  while ((await at('aria-valuenow')) < from + (to - from) * 0.45) await page.waitForTimeout(50);
  await call('virtual.cutLive', { cut: null });
}

const chooseTrim = async ({ page, open }: Tour): Promise<void> => {
  await open('Bench');
  await page.getByLabel('Job').selectOption('trim');
  await page.getByLabel('Batch').first().fill(batchName);
  await page.locator('.scan-field input').fill('');
};

export const trimStops: readonly Stop[] = [
  {
    name: 'trim-ready',
    reach: async (tour) => {
      await start(tour);
      await chooseTrim(tour);
      await tour.page.locator('[data-state="ready"]').waitFor();
    },
  },
  {
    name: 'trim-batch-empty',
    reach: async ({ page }) => {
      await page.locator('.pane-choice').getByText('Batch').click();
      await page.locator('.batch-pane .nothing-yet').waitFor();
    },
  },
  {
    name: 'trim-trimmable',
    reach: async (tour) => {
      await tour.page.locator('.pane-choice').getByText('Track').click();
      await sorted(tour, 'trimmable', 0, 6);
      await untilWord(tour.page, 'Trimmable');
    },
  },
  {
    name: 'trim-cut',
    reach: async ({ page }) => {
      await page.getByRole('button', { name: 'Begin pass 1' }).click();
      await page.locator('.cut-card').waitFor();
      await page.keyboard.press('Enter');
      await untilWord(page, 'Cut 2');
    },
  },
  {
    name: 'trim-cuts-all',
    reach: async ({ page }) => {
      await page.getByRole('button', { name: 'All cuts' }).click();
      await page.locator('.cut-list').waitFor();
    },
  },
  {
    name: 'trim-needle-live',
    reach: async (tour) => {
      const { page } = tour;
      await page.getByRole('button', { name: 'One cut' }).click();
      await page.getByRole('button', { name: 'Live needle' }).click();
      await untilWord(page, 'Live');
      await cutHalfWay(tour);
    },
  },
  {
    name: 'trim-needle-stop',
    reach: async ({ page }) => {
      await page.keyboard.press('Enter');
      await page.locator('.needle-stop').waitFor({ timeout: 60_000 });
    },
  },
  {
    name: 'trim-unmeasured',
    reach: async ({ page }) => {
      await page.keyboard.press('Enter');
      // The needle closes, then its cuts are written down; only then the next cut is asked for, if there is one.
      if ((await untilWord(page, 'Unmeasured', 'Cut \\d+')) !== 'Unmeasured') {
        await page.getByRole('button', { name: 'All cuts' }).click();
        await page.locator('.cut-list').waitFor();
        await page.keyboard.press('Enter');
      }
      await untilWord(page, 'Unmeasured');
    },
  },
  {
    name: 'trim-measuring-again',
    reach: async ({ page }) => {
      await page.keyboard.press('Enter');
      await untilWord(page, 'Measuring');
    },
  },
  {
    name: 'trim-found-unmeasured',
    reach: async (tour) => {
      const { page, call } = tour;
      await untilWord(page, 'Trimmable', ...ends);
      await sorted(tour, 'trimmable', 6, 12);
      const serial = (await call('snapshot', {})).trim?.serial ?? '';
      const asked = await call('trim.askCuts', { serial, operator: 'KD' });
      await call('virtual.applyCuts', { cuts: [...(asked.plan?.cuts ?? [])], toolId: asked.toolId });
      await page.reload();
      await untilWord(page, 'Unmeasured');
    },
  },
  {
    name: 'trim-accepted',
    reach: async (tour) => {
      // Nothing else is measured while hands may be at a track.
      const held = (await tour.call('snapshot', {})).trim?.serial ?? '';
      await tour.call('trim.end', { serial: held, operator: 'KD', reason: 'Set aside for this tour.' });
      for (let index = 12; index < 24; index += 1) {
        if ((await trimmed(tour, serialOf(index))).state === 'accepted' && index >= 18) break;
      }
      await tour.page.getByLabel('Batch').first().fill(batchName);
      await untilWord(tour.page, 'Accepted');
    },
  },
  {
    name: 'trim-hopeless',
    reach: async (tour) => {
      await lowerResistance(tour);
      await sorted(tour, 'hopeless', 24, 30);
      await untilWord(tour.page, 'Hopeless');
    },
  },
  {
    name: 'trim-batch',
    reach: async ({ page }) => {
      await page.locator('.pane-choice').getByText('Batch').click();
      await page.locator('.gain-chart canvas').waitFor();
    },
  },
];
