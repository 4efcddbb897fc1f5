/** A database that cannot be used: the window says which, why and what to do, and the words can be taken along. */
import { copyFile, open, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launchApp } from './app.ts';
import { type BenchFolder, benchFolder } from './bench-folder.ts';
import { untilWord } from './hands.ts';

let bench: BenchFolder;
beforeAll(async () => {
  bench = await benchFolder();
});
afterAll(() => bench?.remove());

/** A copy of a sound archive, spoilt. */
async function spoilt(name: string, spoil: (path: string) => Promise<void> | void): Promise<string> {
  const path = join(bench.folder, name);
  await copyFile(bench.archivePath, path);
  await spoil(path);
  return path;
}

const kinds: readonly {
  readonly name: string;
  readonly spoil: (path: string) => Promise<void> | void;
  readonly says: readonly RegExp[];
}[] = [
  {
    name: 'newer',
    spoil(path) {
      const database = new Database(path);
      database.pragma('user_version = 99');
      database.close();
    },
    says: [/archive version 99/, /Nothing was changed/, /Start the newer program/],
  },
  {
    name: 'damaged',
    async spoil(path) {
      const database = new Database(path);
      const pages = database.pragma('page_count', { simple: true }) as number;
      const size = database.pragma('page_size', { simple: true }) as number;
      database.close();
      const file = await open(path, 'r+');
      for (let page = 2; page < pages; page += 1) await file.write(Buffer.alloc(size, 0x5a), 0, size, page * size);
      await file.close();
    },
    says: [/is damaged/, /Nothing was changed/, /restore the latest backup/],
  },
  {
    name: 'no database at all',
    spoil: (path) => writeFile(path, 'serial;verdict\nPF104-26-48-00001;pass\n'.repeat(300)),
    says: [/is not an archive/, /Nothing was changed/, /Choose another file/],
  },
];

describe('an archive that is', () => {
  it.each(kinds)('$name is refused in plain words', { timeout: 60_000 }, async ({ name, spoil, says }) => {
    const archivePath = await spoilt(`${name.replaceAll(' ', '-')}.sqlite`, spoil);
    const { app, page, close } = await launchApp({ folder: bench.folder, archivePath });
    try {
      await page.getByText('No core').waitFor();
      const words = (await page.locator('.core-life').textContent()) ?? '';
      expect(words).toContain(archivePath);
      for (const sentence of says) expect(words).toMatch(sentence);
      // Said once is enough.
      expect(await page.getByRole('alert').count()).toBe(0);

      await page.locator('.core-life').getByRole('button', { name: 'Copy' }).click();
      await page.getByRole('button', { name: 'Copied' }).waitFor();
      const copied = await app.evaluate(({ clipboard }) => clipboard.readText());
      for (const sentence of says) expect(copied).toMatch(sentence);
    } finally {
      await close();
    }
  });

  it('put right meanwhile is taken up by starting the core again', { timeout: 60_000 }, async () => {
    const archivePath = await spoilt('mended.sqlite', (path) => writeFile(path, 'not yet'.repeat(200)));
    const { page, close } = await launchApp({ folder: bench.folder, archivePath });
    try {
      await page.getByText('No core').waitFor();
      await copyFile(bench.archivePath, archivePath);
      await page.getByRole('button', { name: 'Start it again' }).click();
      await untilWord(page, 'No rig');
    } finally {
      await close();
    }
  });
});
