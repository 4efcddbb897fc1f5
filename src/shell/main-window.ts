/** The one window: sandboxed, its place kept, reloaded when its process dies; closing during a run asks first. */
import { BrowserWindow, dialog, nativeTheme, screen } from 'electron';
import { startUrl } from './security.ts';
import { leastHeight, leastWidth, readWindowState, writeWindowState } from './window-state.ts';

export interface MainWindowOptions {
  readonly preload: string;
  readonly statePath: string;
  /** True only from a checkout. */
  readonly allowsInspector: boolean;
  readonly isMeasuring: () => boolean;
  /** Stops the run and resolves when it is recorded. */
  readonly stopRun: () => Promise<void>;
  /** The window can no longer say that a key is held. */
  readonly onLost: (reason: string) => void;
  readonly log: (text: string) => void;
}

/** A window that dies more often than this within a minute is not reloaded again. */
const reloadsAllowed = 3;
/** A run that does not end within this is left to the core, which stops the carriage when the program leaves. */
const stopPatienceMs = 15_000;

export function openMainWindow(options: MainWindowOptions): BrowserWindow {
  const { preload, statePath, allowsInspector, log, onLost } = options;
  const kept = readWindowState(
    statePath,
    screen.getAllDisplays().map((display) => display.workArea),
  );
  const window = new BrowserWindow({
    width: kept?.width ?? 1280,
    height: kept?.height ?? 800,
    ...(kept === null ? {} : { x: kept.x, y: kept.y }),
    minWidth: leastWidth,
    minHeight: leastHeight,
    show: false,
    title: 'Faderwright',
    // The look's ground, so that nothing flashes before the page is there.
    backgroundColor: nativeTheme.shouldUseDarkColors ? '#141a19' : '#dbe2dd',
    webPreferences: {
      preload,
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
      webviewTag: false,
      navigateOnDragDrop: false,
      spellcheck: false,
      devTools: allowsInspector,
      // A hidden window must still show what the carriage does when it comes back.
      backgroundThrottling: false,
    },
  });
  if (kept?.maximized === true) window.maximize();
  window.once('ready-to-show', () => window.show());
  guardClosing(window, options);

  const { webContents } = window;
  let reloads: number[] = [];
  webContents.on('render-process-gone', (_event, { reason, exitCode }) => {
    log(`window process gone: ${reason} (exit ${exitCode})`);
    onLost(`the window ended (${reason})`);
    if (reason === 'clean-exit') return;
    const now = performance.now();
    reloads = [...reloads.filter((time) => now - time < 60_000), now];
    if (reloads.length <= reloadsAllowed) webContents.reload();
    else
      dialog.showErrorBox(
        'The window keeps ending',
        'What was recorded is on disk. Start the program again; if it repeats, send the log (menu Help).',
      );
  });
  webContents.on('unresponsive', () => {
    log('window does not respond');
    onLost('the window does not respond');
  });
  webContents.on('responsive', () => log('window responds again'));
  webContents.on('did-start-navigation', (details) => {
    if (details.isMainFrame && !details.isSameDocument) onLost('the window was loaded anew');
  });
  webContents.on('did-fail-load', (_event, code, description, url) => {
    log(`cannot load ${url}: ${description} (${code})`);
    // Better an empty window with a menu than a program that cannot be seen.
    window.show();
  });
  webContents.on('preload-error', (_event, path, error) => log(`preload ${path}: ${error.stack ?? error.message}`));
  window.on('closed', () => onLost('the window was closed'));
  void window.loadURL(startUrl).catch((error: unknown) => log(`first page: ${String(error)}`));
  return window;
}

function guardClosing(window: BrowserWindow, { statePath, isMeasuring, stopRun, log }: MainWindowOptions): void {
  let mayClose = false;
  let isAsking = false;

  window.on('close', (event) => {
    keepState();
    if (mayClose || !isMeasuring()) return;
    event.preventDefault();
    if (isAsking) return;
    isAsking = true;
    void askThenClose().finally(() => {
      isAsking = false;
    });
  });

  function keepState(): void {
    try {
      writeWindowState(statePath, { ...window.getNormalBounds(), maximized: window.isMaximized() });
    } catch (error) {
      // A full disk must not keep the window open.
      log(`window place not kept: ${String(error)}`);
    }
  }

  async function askThenClose(): Promise<void> {
    const { response } = await dialog.showMessageBox(window, {
      type: 'question',
      message: 'A fader is being measured.',
      detail:
        'Stopping halts the carriage and records the run as stopped. Nothing recorded before is touched. ' +
        'This stop is software. The emergency stop is the switch on the rig that cuts motor power.',
      buttons: ['Keep measuring', 'Stop and close'],
      defaultId: 0,
      cancelId: 0,
    });
    if (response === 0) return;
    let timer: NodeJS.Timeout | undefined;
    const patience = new Promise<never>((_resolve, reject) => {
      timer = setTimeout(() => reject(new Error(`no end within ${stopPatienceMs / 1000} s`)), stopPatienceMs);
    });
    try {
      await Promise.race([stopRun(), patience]);
    } catch (error) {
      // The core going down with the window also stops the carriage; the reason belongs into the log.
      log(`stop before closing failed: ${String(error)}`);
    } finally {
      clearTimeout(timer);
    }
    mayClose = true;
    if (!window.isDestroyed()) window.close();
  }
}
