/** The one window: sandboxed, its place kept, reloaded when its process dies; closing during a run asks first. */
import { BrowserWindow, dialog, nativeTheme, screen } from 'electron';
import { startUrl } from './security.ts';
import { readWindowState, writeWindowState } from './window-state.ts';

export interface MainWindowOptions {
  readonly preload: string;
  readonly statePath: string;
  readonly isMeasuring: () => boolean;
  /** Stops the run and resolves when it is recorded. */
  readonly stopRun: () => Promise<void>;
  readonly log: (text: string) => void;
}

export function openMainWindow({ preload, statePath, isMeasuring, stopRun, log }: MainWindowOptions): BrowserWindow {
  const kept = readWindowState(
    statePath,
    screen.getAllDisplays().map((display) => display.workArea),
  );
  const window = new BrowserWindow({
    width: kept?.width ?? 1280,
    height: kept?.height ?? 800,
    ...(kept === null ? {} : { x: kept.x, y: kept.y }),
    minWidth: 1024,
    minHeight: 700,
    show: false,
    title: 'Faderwright',
    backgroundColor: nativeTheme.shouldUseDarkColors ? '#14171a' : '#f4f2ec',
    webPreferences: {
      preload,
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      webSecurity: true,
      spellcheck: false,
      // A hidden window must still show what the carriage does when it comes back.
      backgroundThrottling: false,
    },
  });
  if (kept?.maximized === true) window.maximize();
  window.once('ready-to-show', () => window.show());

  let mayClose = false;
  window.on('close', (event) => {
    const bounds = window.getNormalBounds();
    writeWindowState(statePath, { ...bounds, maximized: window.isMaximized() });
    if (mayClose || !isMeasuring()) return;
    event.preventDefault();
    void askThenClose();
  });

  async function askThenClose(): Promise<void> {
    const { response } = await dialog.showMessageBox(window, {
      type: 'question',
      message: 'A fader is being measured.',
      detail: 'Stopping halts the carriage and records the run as stopped. Nothing recorded before is touched.',
      buttons: ['Keep measuring', 'Stop and close'],
      defaultId: 0,
      cancelId: 0,
    });
    if (response === 0) return;
    try {
      await stopRun();
    } catch (error) {
      // The core going down with the window also stops the carriage; the reason belongs into the log.
      log(`stop before closing failed: ${String(error)}`);
    }
    mayClose = true;
    window.close();
  }

  window.webContents.on('render-process-gone', (_event, details) => {
    log(`window process gone: ${details.reason} (exit ${details.exitCode})`);
    if (details.reason !== 'clean-exit') window.webContents.reload();
  });
  window.webContents.on('unresponsive', () => log('window does not respond'));
  window.webContents.on('preload-error', (_event, path, error) =>
    log(`preload ${path}: ${error.stack ?? error.message}`),
  );
  void window.loadURL(startUrl);
  return window;
}
