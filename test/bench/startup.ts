/**
 * From `npm start` to a window that can be used: the screen is drawn and the core behind it answers. Everything is built and
 * the runtime is there, as on every start but the first.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { buildStale } from '../../src/shell/build/build.ts';
import { electronRuntime } from '../../src/shell/setup/runtime.ts';
import { checkout, cleanEnv, testSwitches } from '../desktop/app.ts';
import { startDisplay } from '../desktop/display.ts';
import { closeProgram, firstPage } from './inspected-page.ts';
import { atMost, type BenchLine, median, told } from './line.ts';

const rounds = 5;
const boundMs = 3_000;

/** The Bench is drawn, and the core behind it answers. */
const isUsable = `document.querySelector('main.work section') !== null &&
  faderwright.callCore('snapshot', {}).then((answer) => answer.ok)`;

export async function benchStartup(): Promise<BenchLine[]> {
  await electronRuntime();
  await buildStale(['renderer', 'preload', 'shell']);
  const needsDisplay = process.platform === 'linux' && !process.env.DISPLAY && !process.env.WAYLAND_DISPLAY;
  const display = needsDisplay ? await startDisplay() : null;
  const folder = await mkdtemp(join(tmpdir(), 'faderwright-startup-'));
  try {
    const timesMs: number[] = [];
    for (let round = 0; round < rounds; round += 1) {
      timesMs.push(await oneStart(join(folder, String(round)), display === null ? {} : { DISPLAY: display.name }));
    }
    return [
      atMost('npm start to usable window, median', Math.round(median(timesMs)), 'ms', boundMs),
      told('npm start to usable window, slowest', Math.round(Math.max(...timesMs)), 'ms'),
    ];
  } finally {
    await display?.stop();
    await rm(folder, { recursive: true, force: true, maxRetries: 5 });
  }
}

async function oneStart(folder: string, env: Readonly<Record<string, string>>): Promise<number> {
  const begun = performance.now();
  const npm = process.platform === 'win32' ? 'npm.cmd' : 'npm';
  // A group of its own, so that nothing of it stays when a round fails.
  const program = spawn(npm, ['start', '--', ...testSwitches, '--remote-debugging-port=0'], {
    cwd: checkout,
    env: cleanEnv({ FADERWRIGHT_FOLDER: folder, ...env }),
    stdio: ['ignore', 'ignore', 'pipe'],
    detached: process.platform !== 'win32',
  });
  const ended = new Promise<void>((resolve) => program.once('exit', () => resolve()));
  try {
    const address = await debuggerAddress(program);
    const page = await firstPage(address);
    while ((await page.evaluate(isUsable)) !== true) await wait(10);
    const tookMs = performance.now() - begun;
    page.close();
    await closeProgram(address);
    await ended;
    return tookMs;
  } finally {
    if (program.exitCode === null && program.signalCode === null && program.pid !== undefined) {
      process.kill(process.platform === 'win32' ? program.pid : -program.pid, 'SIGKILL');
    }
  }
}

function debuggerAddress(program: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let words = '';
    program.stderr?.setEncoding('utf8').on('data', (text: string) => {
      words += text;
      const address = /DevTools listening on (ws:\S+)/.exec(words)?.[1];
      if (address !== undefined) resolve(address);
    });
    program.once('exit', (code) => reject(new Error(`npm start ended with code ${code}: ${words}`)));
  });
}
