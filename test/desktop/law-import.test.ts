/** A law file with mistakes is refused line by line; the mended one is kept and measured against. */
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkout, type LaunchedApp, launchApp } from './app.ts';
import { type BenchFolder, benchFolder } from './bench-folder.ts';
import { chooseFile, patience, press, scan, startVirtualRig, untilVerdict, untilWord } from './hands.ts';

let bench: BenchFolder;
let launched: LaunchedApp;
beforeAll(async () => {
  bench = await benchFolder();
  launched = await launchApp({ folder: bench.folder, archivePath: bench.archivePath });
  await untilWord(launched.page, 'No rig');
}, 60_000);
afterAll(async () => {
  await launched?.close();
  await bench?.remove();
});

/** The example law under another name, with two tolerances given away in the bad one. */
async function lawFiles(): Promise<{ bad: string; right: string; badLines: number[] }> {
  const example = await readFile(join(checkout, 'src', 'law', 'examples', 'PF-104.json'), 'utf8');
  const right = example.replace('"PF-104"', '"PF-105"');
  const bad = right
    .replace('"lossDb": 40, "minusDb": 2', '"lossDb": 40, "minusDb": -2')
    .replace('{ "travelMm": 78,', '{ "travelMm": "seventy-eight",');
  const badLines = bad.split('\n').flatMap((line, index) => (/-2,|seventy/.test(line) ? [index + 1] : []));
  const paths = { bad: join(bench.folder, 'pf-105-bad.json'), right: join(bench.folder, 'pf-105.json') };
  await writeFile(paths.bad, bad);
  await writeFile(paths.right, right);
  return { ...paths, badLines };
}

describe('a law taken in from a file', () => {
  it('with mistakes is refused, each named by its line, and nothing is kept', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    const files = await lawFiles();
    expect(files.badLines).toHaveLength(2);
    await page.getByRole('link', { name: 'Laws' }).click();
    await chooseFile(app, files.bad);
    await page.getByRole('button', { name: 'Take in a file' }).click();
    const refused = page.getByRole('region', { name: 'File not taken' });
    await refused.waitFor();
    const places = await refused.locator('ol li b').allTextContents();
    for (const line of files.badLines) expect(places.some((place) => place.startsWith(`Line ${line}`))).toBe(true);
    await refused.getByRole('button', { name: 'Copy the list' }).click();
    await refused.getByRole('button', { name: 'Copied' }).waitFor();
    const copied = await app.evaluate(({ clipboard }) => clipboard.readText());
    for (const line of files.badLines) expect(copied).toContain(`line ${line}`);
    expect(bench.read((archive) => archive.lawRevisions().map(({ id }) => id))).not.toContain('PF-105');
  });

  it('mended, it opens as a draft and is kept as a new law', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    await chooseFile(app, join(bench.folder, 'pf-105.json'));
    await page.getByRole('button', { name: 'Take in the mended file' }).click();
    await page.getByText(/A new law, PF-105 revision 1/).waitFor();
    await page.getByRole('button', { name: 'Keep as revision 1' }).click();
    await page.getByText(/Kept as PF-105 revision 1/).waitFor();
    expect(bench.read((archive) => archive.lawRevisions().map(({ id }) => id))).toContain('PF-105');
  });

  it('is offered on the slip and used for a measurement', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    const [serial = ''] = await startVirtualRig(page, { timeFactor: 20 });
    await page.getByRole('link', { name: 'Bench' }).click();
    await untilWord(page, 'Ready');
    await scan(app, serial);
    await page.getByRole('combobox', { name: 'Law' }).selectOption({ label: 'PF-105 rev 1' });
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    await untilVerdict(page);
    const [run] = bench.read((archive) => archive.runsOfSerial(serial));
    expect(run).toMatchObject({ lawId: 'PF-105', lawRevision: 1, outcome: 'completed' });

    await page.getByRole('link', { name: 'Laws' }).click();
    await page.getByRole('navigation', { name: 'Laws and revisions' }).getByText('PF-105').waitFor();
    await expect.poll(() => page.locator('.law-use').textContent(), patience).toContain('Used by 1 run of 1 fader');
  });
});
