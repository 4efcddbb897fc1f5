/** The desktop app: one instance, one window, one supervised core. Owns no measurement state. */
import { join } from 'node:path';
import {
  app,
  type BrowserWindow,
  dialog,
  ipcMain,
  Menu,
  powerSaveBlocker,
  protocol,
  session,
  utilityProcess,
} from 'electron';
import { connectCore } from '../contract/client.ts';
import type { CoreEvent } from '../contract/state.ts';
import { launchCore } from '../core/launch.ts';
import { bridge } from './bridge.ts';
import { type CoreSupervisor, type StartedCore, superviseCore } from './core-supervisor.ts';
import { openLog } from './log-file.ts';
import { openMainWindow } from './main-window.ts';
import { buildMenu } from './menu.ts';
import { places } from './places.ts';
import { declareScheme, fence, serveWindow } from './security.ts';
import { utilityChannel } from './utility-channel.ts';
import { windowCommands } from './window-commands.ts';

if (!app.requestSingleInstanceLock()) app.exit(0);
declareScheme(protocol);
fence(app);

const log = openLog(join(app.getPath('userData'), 'logs'), () => new Date());
const where = places({
  isPackaged: app.isPackaged,
  appPath: app.getAppPath(),
  resourcesPath: process.resourcesPath,
  napi: Number(process.versions.napi ?? 0),
});
const archivePath = process.env.FADERWRIGHT_ARCHIVE ?? join(app.getPath('userData'), 'bench.sqlite');

let window: BrowserWindow | null = null;
let supervisor: CoreSupervisor | null = null;
let sleepBlock: number | null = null;
let runNow = false;

process.on('uncaughtException', (error) => {
  log.write('shell', error.stack ?? error.message);
  dialog.showErrorBox(
    'Faderwright met a defect',
    `${error.message}\n\nThe log is in ${log.folder}. Recorded results are safe.`,
  );
});
process.on('unhandledRejection', (reason) =>
  log.write('shell', reason instanceof Error ? (reason.stack ?? reason.message) : String(reason)),
);

function startCore(): StartedCore {
  if (where.coreNode !== null) return launchCore({ archivePath, execPath: where.coreNode, entry: where.coreEntry });
  const child = utilityProcess.fork(where.coreEntry, ['--archive', archivePath], { serviceName: 'Faderwright core' });
  const channel = utilityChannel(child);
  return { client: connectCore(channel), stop: channel.stop };
}

function onCoreEvent(event: CoreEvent): void {
  if (event.kind === 'snapshot') noteRun(event.snapshot.run !== null && event.snapshot.run.state !== 'ended');
  if (event.kind === 'trouble') log.write('core', `${event.error.code} ${event.error.message}`);
  window?.webContents.send('core-event', event);
}

/** The machine must not fall asleep over a moving carriage. */
function noteRun(running: boolean): void {
  runNow = running;
  if (running && sleepBlock === null) sleepBlock = powerSaveBlocker.start('prevent-display-sleep');
  if (!running && sleepBlock !== null) {
    powerSaveBlocker.stop(sleepBlock);
    sleepBlock = null;
  }
}

async function stopRun(): Promise<void> {
  const client = await supervisor?.client();
  const run = (await client?.call('snapshot', {}))?.run;
  if (client === undefined || run === undefined || run === null) return;
  await client.call('run.stop', {});
  await client.call('run.wait', { runId: run.runId });
}

const theWindow = (): BrowserWindow => {
  if (window === null) throw new Error('The window is not open.');
  return window;
};

app.on('second-instance', () => {
  if (window?.isMinimized() === true) window.restore();
  window?.focus();
});
app.on('window-all-closed', () => app.quit());
app.on('child-process-gone', (_event, details) =>
  log.write('child', `${details.type} ${details.reason} (exit ${details.exitCode})`),
);

let left = false;
app.on('will-quit', (event) => {
  if (left || supervisor === null) return;
  event.preventDefault();
  // The core stops motion, commits and leaves; only then does the program end.
  void supervisor.stop().finally(() => {
    left = true;
    app.quit();
  });
});

void app.whenReady().then(() => {
  serveWindow(session.defaultSession, where.renderer);
  const core = superviseCore({
    start: startCore,
    onEvent: onCoreEvent,
    onLife: (life) => window?.webContents.send('core-life', life),
    log: (text) => log.write('core', text),
    nowMs: () => performance.now(),
  });
  supervisor = core;
  const commands = windowCommands({
    window: theWindow,
    documentsFolder: app.getPath('documents'),
    logFolder: log.folder,
    restartCore: () => core.restart(),
  });
  bridge(ipcMain, () => core.client(), commands);
  Menu.setApplicationMenu(
    buildMenu(
      (wish) => window?.webContents.send('menu-wish', wish),
      () => void commands['logs.show']({}),
    ),
  );
  window = openMainWindow({
    preload: where.preload,
    statePath: join(app.getPath('userData'), 'window.json'),
    isMeasuring: () => runNow,
    stopRun,
    log: (text) => log.write('window', text),
  });
  // A reloaded window must learn at once what the core is doing.
  window.webContents.on('did-finish-load', () => window?.webContents.send('core-life', core.life()));
});
