/** The window's process and the core killed in mid-run: nothing is lost, and what happened is said. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type LaunchedApp, launchApp } from './app.ts';
import { type BenchFolder, benchFolder } from './bench-folder.ts';
import { killWindow, patience, press, scan, startVirtualRig, textOf, untilVerdict, untilWord } from './hands.ts';
import { corePid } from './processes.ts';

let bench: BenchFolder;
let launched: LaunchedApp;
let serials: string[];
beforeAll(async () => {
  bench = await benchFolder();
  launched = await launchApp({ folder: bench.folder, archivePath: bench.archivePath });
  await untilWord(launched.page, 'No rig');
  serials = await startVirtualRig(launched.page, { timeFactor: 6 });
}, 60_000);
afterAll(async () => {
  await launched?.close();
  await bench?.remove();
});

async function measure(): Promise<string> {
  const { app, page } = launched;
  const serial = serials.shift() ?? '';
  await scan(app, serial);
  await untilWord(page, 'Ready');
  await press(app, 'Enter');
  await untilWord(page, 'Measuring');
  return serial;
}

const readings = async (): Promise<number> =>
  Number(
    /(\d+) readings/.exec((await launched.page.locator('.deviation canvas').getAttribute('aria-label')) ?? '')?.[1],
  );

describe('the core killed in mid-run', () => {
  it('comes back, says why, and the run is void on record', { timeout: 60_000 }, async () => {
    const { page } = launched;
    const serial = await measure();
    process.kill(await corePid(bench.archivePath), 'SIGKILL');

    const notice = page.getByRole('alert');
    await notice.waitFor();
    expect(await notice.textContent()).toContain('The measuring process ended (signal SIGKILL)');
    await untilWord(page, 'No rig');
    const [run] = bench.read((archive) => archive.runsOfSerial(serial));
    expect(run).toMatchObject({ outcome: 'void', verdict: 'void' });
    expect(run?.verdictReason).toMatch(/program ended in the middle/);
    await expect.poll(() => page.locator('.slip ol li').first().textContent(), patience).toContain(serial.slice(-5));

    await page.getByRole('button', { name: 'Copy' }).click();
    await page.getByRole('button', { name: 'Copied' }).waitFor();
    expect(await launched.app.evaluate(({ clipboard }) => clipboard.readText())).toContain('SIGKILL');
    await page.getByRole('button', { name: 'Put away' }).click();
    expect(await notice.count()).toBe(0);
  });

  it('the next run works without a restart of the program', { timeout: 60_000 }, async () => {
    const { page } = launched;
    serials = (await startVirtualRig(page, { timeFactor: 6 })).slice(1);
    const serial = await measure();
    expect(['Pass', 'Doubt', 'Fail']).toContain(await untilVerdict(page));
    expect(bench.read((archive) => archive.runsOfSerial(serial)[0]?.outcome)).toBe('completed');
  });
});

describe('the window in mid-run', () => {
  it('loaded anew, it catches up: run, readings, verdict', { timeout: 60_000 }, async () => {
    const { page } = launched;
    const serial = await measure();
    await expect.poll(readings, patience).toBeGreaterThan(5);
    const before = await readings();
    await page.reload();
    await untilWord(page, 'Measuring');
    await expect.poll(readings, patience).toBeGreaterThanOrEqual(before);
    expect(['Pass', 'Doubt', 'Fail']).toContain(await untilVerdict(page));
    expect(bench.read((archive) => archive.runsOfSerial(serial)[0]?.outcome)).toBe('completed');
  });

  it('its process killed, it comes back by itself and shows the run and its end', { timeout: 60_000 }, async () => {
    const { app } = launched;
    const serial = await measure();
    const known = (): Promise<string | null> => textOf(app, '.known .word');
    await killWindow(app);
    await expect.poll(known, { timeout: 40_000 }).toMatch(/^(Pass|Doubt|Fail)$/);
    const [run] = bench.read((archive) => archive.runsOfSerial(serial));
    expect(run).toMatchObject({ outcome: 'completed' });
    expect((await known())?.toLowerCase()).toBe(run?.verdict);
    expect(await textOf(app, '.slip ol li')).toContain(serial.slice(-5));
  });
});
