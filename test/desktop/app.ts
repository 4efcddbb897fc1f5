/** Starts the real window for a test: own folder, own archive, nothing shared with other launches. */
import type { ChildProcess } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type ElectronApplication, _electron as electron, type Page } from 'playwright-core';
import { electronRuntime } from '../../src/shell/setup/runtime.ts';

export const checkout = join(import.meta.dirname, '..', '..');

/** A packed program takes no such module; it is started without. */
const holdUntilConnected = join(import.meta.dirname, 'hold-until-connected.cjs');

/** The module may be loaded a moment after the test is connected. */
async function letGo(app: ElectronApplication): Promise<void> {
  const isHeld = (): Promise<boolean> =>
    app.evaluate(() => {
      const { testIsConnected } = globalThis as { testIsConnected?: () => void };
      testIsConnected?.();
      return testIsConnected === undefined;
    });
  for (let asked = 0; await isHeld(); asked += 1) {
    if (asked > 600) throw new Error('The program does not load the module that lets it go on.');
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

export interface LaunchOptions {
  /** Default: a new archive in the launch's own folder. */
  readonly archivePath?: string;
  readonly env?: Readonly<Record<string, string>>;
  /** Settings, logs and archive; kept after closing when given, else new and removed. */
  readonly folder?: string;
  /** Default: the runtime from a checkout. */
  readonly executable?: string;
  readonly args?: readonly string[];
}

export interface LaunchedApp {
  readonly app: ElectronApplication;
  readonly page: Page;
  readonly folder: string;
  readonly archivePath: string;
  /** Ends the program if it still runs, and removes its folder. */
  close(): Promise<void>;
}

/** Chromium refuses its sandbox to root, who runs these tests in a container. Never in the shipped program. */
export const testSwitches: readonly string[] = process.getuid?.() === 0 ? ['--no-sandbox'] : [];

/** What a launched program inherits: nothing that would make it another one. */
export function cleanEnv(more: Readonly<Record<string, string>>): Record<string, string> {
  const env: Record<string, string> = {};
  for (const [name, value] of Object.entries(process.env)) {
    if (value !== undefined && !/^(ELECTRON_|FADERWRIGHT_|NODE_OPTIONS$|VITEST)/.test(name)) env[name] = value;
  }
  return { ...env, ...more };
}

export async function launchApp(options: LaunchOptions = {}): Promise<LaunchedApp> {
  const folder = options.folder ?? (await mkdtemp(join(tmpdir(), 'faderwright-window-')));
  const archivePath = options.archivePath ?? join(folder, 'bench.sqlite');
  const app = await electron.launch({
    executablePath: options.executable ?? (await electronRuntime()).executable,
    args: [...(options.args ?? ['-r', holdUntilConnected, checkout]), ...testSwitches],
    cwd: checkout,
    timeout: 30_000,
    env: cleanEnv({ FADERWRIGHT_FOLDER: folder, FADERWRIGHT_ARCHIVE: archivePath, ...options.env }),
  });
  // Once the program is gone, it can no longer be asked for its process.
  const child = app.process();
  if (options.args === undefined && options.executable === undefined) await letGo(app);
  const page = await firstPage(app, child);
  return {
    app,
    page,
    folder,
    archivePath,
    async close() {
      await end(app, child);
      if (options.folder === undefined) await rm(folder, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

/** The window once it shows something; a page that fails says in its own words why. */
async function firstPage(app: ElectronApplication, child: ChildProcess): Promise<Page> {
  const complaints: string[] = [];
  try {
    const page = await app.firstWindow();
    page.on('console', (message) => complaints.push(`${message.type()}: ${message.text()}`));
    page.on('pageerror', (error) => complaints.push(error.stack ?? error.message));
    await page.waitForSelector('.frame', { timeout: 15_000 });
    return page;
  } catch (cause) {
    await end(app, child);
    throw new Error(`The window shows nothing. It said:\n${complaints.join('\n') || '(nothing)'}`, { cause });
  }
}

/** Asks the program to quit; one that is held up by a question or a defect is ended by force. */
async function end(app: ElectronApplication, child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  const force = setTimeout(() => child.kill('SIGKILL'), 8_000);
  // A program that was killed by its test cannot answer any more; its end is awaited all the same.
  await app.close().catch(() => {});
  await ended;
  clearTimeout(force);
}
