/** The desktop app: one instance, one window, one supervised core. Owns no measurement state. */
import { join } from 'node:path';
import {
  app,
  type BrowserWindow,
  crashReporter,
  dialog,
  ipcMain,
  Menu,
  powerSaveBlocker,
  protocol,
  session,
} from 'electron';
import type { CoreLife } from '../contract/shell.ts';
import type { CoreEvent } from '../contract/state.ts';
import { bridge } from './bridge.ts';
import { chosenPaths } from './chosen-paths.ts';
import { coreStarter } from './core-start.ts';
import { type CoreSupervisor, superviseCore } from './core-supervisor.ts';
import { watchHold } from './hold-watch.ts';
import { type LogFile, openLog } from './log-file.ts';
import { openMainWindow } from './main-window.ts';
import { buildMenu } from './menu.ts';
import { archivePlace, places, userFolder } from './places.ts';
import { closeNetwork, declareScheme, fence, serveWindow } from './security.ts';
import { windowCommands } from './window-commands.ts';

const ownFolder = userFolder(process.env);
if (ownFolder !== null) app.setPath('userData', ownFolder);
closeNetwork(app);
// Window and shell tidy up often instead of growing: see the memory figure of `npm run bench -- --only window`.
app.commandLine.appendSwitch('js-flags', '--max-semi-space-size=2 --optimize-for-size');
// Root in a test container runs without the sandbox and has to say so on the command line; nobody else may.
if (!app.commandLine.hasSwitch('no-sandbox')) app.enableSandbox();
declareScheme(protocol);
// A graphics process that cannot start (no driver, a remote session) sometimes leaves the page waiting for ever: seen in one
// start of four under load. The window draws flat shapes and lines, which need no graphics card.
app.disableHardwareAcceleration();

// The lock belongs to the folder of settings: whoever has it may write there.
if (app.requestSingleInstanceLock()) open(openLog(join(app.getPath('userData'), 'logs'), () => new Date()));
else app.exit(0);

function after(ms: number, callback: () => void): () => void {
  const timer = setTimeout(callback, ms);
  return () => clearTimeout(timer);
}

function open(log: LogFile): void {
  const note = (subject: string) => (text: string) => log.write(subject, text);
  app.setPath('crashDumps', join(log.folder, 'crashes'));
  // Dumps stay on this machine, beside the log, for a person to send.
  crashReporter.start({ uploadToServer: false });
  catchDefects(log);
  fence(app, note('fence'));

  const where = places({
    isPackaged: app.isPackaged,
    appPath: app.getAppPath(),
    resourcesPath: process.resourcesPath,
    napi: Number(process.versions.napi ?? 0),
  });
  const archivePath = archivePlace(process.env, ownFolder);
  const paths = chosenPaths([archivePath, log.folder]);
  let window: BrowserWindow | null = null;
  let supervisor: CoreSupervisor | null = null;
  const tellWindow = (channel: string, value: unknown): void => {
    if (window !== null && !window.isDestroyed() && !window.webContents.isCrashed())
      window.webContents.send(channel, value);
  };
  const theWindow = (): BrowserWindow => {
    if (window === null) throw new Error('The window is not open.');
    return window;
  };
  const run = runNote();
  const hold = watchHold({
    async halt() {
      const client = await supervisor?.client();
      await client?.call('rig.halt', {});
    },
    log: note('jog'),
    after,
  });

  function onCoreEvent(event: CoreEvent): void {
    if (event.kind === 'snapshot') run.note(event.snapshot.run !== null && event.snapshot.run.state !== 'ended');
    if (event.kind === 'trouble') log.write('core', `${event.error.code} ${event.error.message}`);
    tellWindow('core-event', event);
  }

  function onCoreLife(life: CoreLife): void {
    // A core that is gone measures nothing, whatever it said last.
    if (life.state !== 'running') run.note(false);
    tellWindow('core-life', life);
  }

  async function stopRun(): Promise<void> {
    const client = await supervisor?.client();
    const current = (await client?.call('snapshot', {}))?.run ?? null;
    if (client === undefined || current === null || current.state === 'ended') return;
    const recorded = client.call('run.wait', { runId: current.runId });
    await client.call('run.stop', {});
    await recorded;
  }

  app.on('second-instance', () => {
    if (window?.isMinimized() === true) window.restore();
    window?.focus();
  });
  app.on('window-all-closed', () => app.quit());
  app.on('child-process-gone', (_event, { type, reason, exitCode, serviceName }) =>
    log.write('child', `${type} ${serviceName ?? ''} ${reason} (exit ${exitCode})`),
  );
  leaveInOrder(() => supervisor);

  void app.whenReady().then(() => {
    serveWindow(session.defaultSession, {
      folder: where.renderer,
      allowsInspector: !app.isPackaged,
      log: note('fence'),
    });
    const core = superviseCore({
      start: coreStarter(where, archivePath, note('core output')),
      onEvent: onCoreEvent,
      onLife: onCoreLife,
      log: note('core'),
      nowMs: () => performance.now(),
      after,
    });
    supervisor = core;
    const commands = windowCommands({
      window: theWindow,
      documentsFolder: app.getPath('documents'),
      logFolder: log.folder,
      paths,
      restartCore: () => core.restart(),
      held: () => hold.held(),
    });
    bridge({
      ipcMain,
      contents: () => window?.webContents ?? null,
      client: () => core.client(),
      shell: commands,
      paths,
      watchHold: (creep) => hold.watch(creep),
      log: note('fence'),
    });
    Menu.setApplicationMenu(
      buildMenu(
        (wish) => tellWindow('menu-wish', wish),
        () =>
          void Promise.resolve(commands['logs.show']({})).catch((error: unknown) => log.write('menu', String(error))),
      ),
    );
    window = openMainWindow({
      preload: where.preload,
      statePath: join(app.getPath('userData'), 'window.json'),
      allowsInspector: !app.isPackaged,
      isMeasuring: () => run.isOn(),
      stopRun,
      onLost: (reason) => hold.lost(reason),
      log: note('window'),
    });
    window.on('closed', () => {
      window = null;
    });
    // A reloaded window must learn at once what the core is doing.
    window.webContents.on('did-finish-load', () => tellWindow('core-life', core.life()));
  });
}

/** Whether a run is on; the machine must not fall asleep over a moving carriage. */
function runNote(): { note(on: boolean): void; isOn(): boolean } {
  let sleepBlock: number | null = null;
  return {
    isOn: () => sleepBlock !== null,
    note(on) {
      if (on && sleepBlock === null) sleepBlock = powerSaveBlocker.start('prevent-display-sleep');
      if (!on && sleepBlock !== null) {
        powerSaveBlocker.stop(sleepBlock);
        sleepBlock = null;
      }
    },
  };
}

/** The core stops motion, commits and leaves; only then does the program end. */
function leaveInOrder(supervisor: () => CoreSupervisor | null): void {
  let isLeaving = false;
  let hasLeft = false;
  app.on('will-quit', (event) => {
    const core = supervisor();
    if (hasLeft || core === null) return;
    event.preventDefault();
    if (isLeaving) return;
    isLeaving = true;
    void core.stop().finally(() => {
      hasLeft = true;
      app.quit();
    });
  });
}

function catchDefects(log: LogFile): void {
  let hasSaid = false;
  process.on('uncaughtException', (error) => {
    log.write('shell', error.stack ?? error.message);
    // Once: a defect that repeats must not bury the screen under boxes.
    if (hasSaid) return;
    hasSaid = true;
    dialog.showErrorBox(
      'Faderwright met a defect',
      `${error.message}\n\nWhat is recorded is on disk. Start the program again, and send the log in ${log.folder}.`,
    );
  });
  process.on('unhandledRejection', (reason) =>
    log.write('shell', reason instanceof Error ? (reason.stack ?? reason.message) : String(reason)),
  );
}
