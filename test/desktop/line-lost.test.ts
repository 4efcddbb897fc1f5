/** A rig on a port of its own: connected and trusted through the Rig screen, its cable pulled in mid-move and put back. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type LaunchedApp, launchApp } from './app.ts';
import { type BenchFolder, benchFolder } from './bench-folder.ts';
import { type BenchRig, startBenchRig } from './bench-rig.ts';
import { chooseFile, core, patience, press, scan, untilVerdict, untilWord } from './hands.ts';

const serial = 'PF104-26-48-00017';
let bench: BenchFolder;
let rig: BenchRig;
let launched: LaunchedApp;
beforeAll(async () => {
  bench = await benchFolder();
  rig = await startBenchRig(bench.folder, 5);
  launched = await launchApp({ folder: bench.folder, archivePath: bench.archivePath });
}, 60_000);
afterAll(async () => {
  await launched?.close();
  await rig?.stop();
  await bench?.remove();
});

describe('a rig on a port that no list shows', () => {
  it('is connected by its name, and says that it is not trusted yet', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    await untilWord(page, 'No rig');
    await press(app, 'Enter');
    await page.getByLabel('Port that is not listed').fill(rig.path);
    await page.getByRole('button', { name: 'Connect' }).click();
    await page.getByRole('region', { name: 'Connected rig' }).waitFor();
    expect(await page.getByRole('region', { name: 'Connected rig' }).textContent()).toContain(rig.path);
    // Its interlocks are at the rig itself: this program has no hand there.
    expect(await page.locator('.contacts li').count()).toBe(3);
    expect(await page.locator('.contacts button').count()).toBe(0);
    await page.getByRole('link', { name: 'Bench' }).click();
    await untilWord(page, 'Not trusted');
    expect(await page.locator('.foot').textContent()).toContain('Not trustedNone: results are void');
  });

  it('is trusted once its certificate is loaded', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    await press(app, 'Enter');
    await chooseFile(app, rig.certificatePath);
    await page.getByRole('button', { name: 'Certificate from a file' }).click();
    await expect
      .poll(() => page.getByRole('region', { name: 'Calibration history' }).locator('tbody tr').count(), patience)
      .toBe(1);
    await page.getByRole('link', { name: 'Bench' }).click();
    await untilWord(page, 'Ready');
  });
});

describe('the cable pulled in mid-move', () => {
  it('the carriage stands, the run is void with the reason on the screen', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    await scan(app, serial);
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    await expect.poll(() => rig.carriage(), { ...patience, interval: 5 }).toBe('moving');
    await rig.say('unplug');

    expect(await untilVerdict(page)).toBe('Void');
    await expect.poll(() => rig.carriage(), patience).toBe('still');
    expect(await page.locator('.known > .next').textContent()).toMatch(
      /line to the rig on \S+ was lost\. Check its cable/i,
    );
    expect(await page.locator('.foot').textContent()).toMatch(/Line(Line lost|Connecting|No rig)/);
    const [run] = bench.read((archive) => archive.runsOfSerial(serial));
    expect(run).toMatchObject({ outcome: 'void', verdict: 'void' });
  });

  it('put back, the bench goes on by itself', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    await rig.say('plug');
    await expect
      .poll(() => page.locator('.foot').textContent(), patience)
      .toContain(`Line${rig.certificate.rigSerial}`);
    await scan(app, serial);
    await untilWord(page, 'Ready');
    await expect
      .poll(() => page.locator('.known > .next').textContent(), patience)
      .toMatch(/^00017 gave no result at .*; this will be attempt 2\./);
    await press(app, 'Enter');
    await untilWord(page, 'Measuring');
    expect(['Pass', 'Doubt', 'Fail']).toContain(await untilVerdict(page));
    expect(await page.getByText('attempt 2').count()).toBe(1);
    expect(bench.read((archive) => archive.runsOfSerial(serial)).map(({ outcome }) => outcome)).toEqual([
      'completed',
      'void',
    ]);
  });
});

describe('the interlocks', () => {
  it('an open guard is asked for, and the run begins by itself once it is closed', { timeout: 60_000 }, async () => {
    const { app, page } = launched;
    await rig.say('guard open');
    await scan(app, 'PF104-26-48-00018');
    await expect.poll(() => page.locator('.known > .next').textContent(), patience).toContain('Close the guard');
    await press(app, 'Enter');
    await untilWord(page, 'Waiting');
    expect(await rig.carriage()).toBe('still');
    await rig.say('guard closed');
    await untilWord(page, 'Measuring');
    await untilVerdict(page);
  });
});

describe('the mark of a virtual rig', () => {
  it('stays on a verdict when that rig has gone', { timeout: 60_000 }, async () => {
    const { page } = launched;
    expect(await page.locator('.rail .tape').count()).toBe(1);
    expect(await page.locator('.known .of-result').textContent()).toBe('Virtual rig: this was no real fader');
    await core(page, 'rig.disconnect', {});
    await expect.poll(() => page.locator('.rail .tape').count(), patience).toBe(0);
    expect(await page.locator('.known .of-result').textContent()).toBe('Virtual rig: this was no real fader');
    expect(await page.locator('.slip li').first().textContent()).toContain('virtual');
  });
});
