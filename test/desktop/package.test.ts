import { spawn } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { listPackage } from '@electron/asar';
import { FuseState, FuseV1Options, getCurrentFuseWire } from '@electron/fuses';
import { expect, test } from 'vitest';
import packageJson from '../../package.json' with { type: 'json' };
import { runTool } from '../../src/shell/setup/tool.ts';
import { checkout, cleanEnv, launchApp, testSwitches } from './app.ts';

const pack = (...words: readonly string[]): Promise<string> =>
  runTool(process.execPath, [join(checkout, 'src/shell/build/package.ts'), ...words], {
    cwd: checkout,
    env: cleanEnv({}),
  });
const shipped = join(checkout, 'out', 'package', 'linux-unpacked');
const lookedInto = join(checkout, 'out', 'package-for-tests', 'linux-unpacked');

/** Waits until the program has written `words` into its log; it ending first is a failure. */
async function logged(folder: string, words: string, ended: () => boolean): Promise<string> {
  const logs = join(folder, 'logs');
  for (;;) {
    const names = existsSync(logs) ? readdirSync(logs).filter((name) => name.endsWith('.log')) : [];
    const text = names.map((name) => readFileSync(join(logs, name), 'utf8')).join('');
    if (text.includes(words)) return text;
    if (ended()) throw new Error(`The program ended without saying "${words}": ${text}`);
    await wait(50);
  }
}

test('the shipped app has its fuses set, carries its native modules and core outside the archive, and starts', async () => {
  await pack();
  const { on, off } = { on: FuseState.ENABLE, off: FuseState.DISABLE };
  expect(await getCurrentFuseWire(join(shipped, 'faderwright'))).toMatchObject({
    [FuseV1Options.RunAsNode]: off,
    [FuseV1Options.EnableNodeOptionsEnvironmentVariable]: off,
    [FuseV1Options.EnableNodeCliInspectArguments]: off,
    [FuseV1Options.EnableEmbeddedAsarIntegrityValidation]: on,
    [FuseV1Options.OnlyLoadAppFromAsar]: on,
    [FuseV1Options.GrantFileProtocolExtraPrivileges]: off,
  });

  const outside = join(shipped, 'resources', 'app.asar.unpacked');
  expect(readdirSync(join(outside, 'out', 'app')).sort()).toEqual(['browser', 'core.mjs']);
  for (const name of ['better-sqlite3', '@serialport/bindings-cpp', 'koffi'])
    expect(existsSync(join(outside, 'node_modules', name, 'package.json')), name).toBe(true);
  const files = listPackage(join(shipped, 'resources', 'app.asar'), { isPack: false });
  expect(files).toEqual(expect.arrayContaining(['/out/app/shell.cjs', '/out/app/renderer/index.html']));
  expect(files.filter((file) => /^\/(src|test|renderer|docs|firmware-protocol)\//.test(file))).toEqual([]);

  const folder = await mkdtemp(join(tmpdir(), 'faderwright-shipped-'));
  const program = spawn(join(shipped, 'faderwright'), [...testSwitches], {
    env: cleanEnv({ FADERWRIGHT_FOLDER: folder }),
    stdio: 'ignore',
  });
  const ended = new Promise<void>((resolve) => program.once('exit', () => resolve()));
  try {
    const log = await logged(folder, 'core running', () => program.exitCode !== null || program.signalCode !== null);
    expect(log).not.toContain('core gone');
  } finally {
    program.kill();
    await ended;
    await rm(folder, { recursive: true, force: true });
  }
}, 120_000);

test('the packed app says its version, and its core measures a virtual fader and writes a report', async () => {
  await pack('--for-tests');
  const { app, page, folder, close } = await launchApp({ executable: join(lookedInto, 'faderwright'), args: [] });
  try {
    expect(await app.evaluate(({ app: program }) => [program.isPackaged, program.getVersion()])).toEqual([
      true,
      packageJson.version,
    ]);
    const call = (name: string, input: object): Promise<unknown> =>
      page.evaluate(([command, value]) => window.faderwright.callCore(command as string, value), [name, input]);
    expect(await call('snapshot', {})).toMatchObject({
      ok: true,
      output: { programVersion: packageJson.version, archivePath: join(folder, 'bench.sqlite') },
    });

    const started = await call('virtual.start', {
      seed: 7,
      size: 1,
      lawId: 'PF-104',
      finish: 'delivered',
      faultShare: 0,
      timeFactor: 50,
    });
    expect(started).toMatchObject({ ok: true });
    const [serial] = (started as { output: { serials: string[] } }).output.serials;
    const run = await call('run.start', { serial, operator: 'KT', lawId: 'PF-104', batch: 'B1', job: 'measure' });
    expect(run).toMatchObject({ ok: true });
    const { runId } = (run as { output: { runId: string } }).output;
    expect(await call('run.wait', { runId })).toMatchObject({
      ok: true,
      output: { summary: { outcome: 'completed' } },
    });

    const reportPath = join(folder, 'report.html');
    await app.evaluate(({ dialog }, path) => {
      dialog.showSaveDialog = () => Promise.resolve({ canceled: false, filePath: path });
    }, reportPath);
    await page.evaluate(() =>
      window.faderwright.callShell('file.choosePath', { title: 'Report', suggestedName: 'report.html', filters: [] }),
    );
    expect(await call('report.write', { batch: 'B1', path: reportPath, title: 'B1' })).toMatchObject({ ok: true });
    expect(readFileSync(reportPath, 'utf8')).toContain(serial);
  } finally {
    await close();
  }
}, 120_000);
