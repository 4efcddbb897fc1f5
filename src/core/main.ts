/**
 * The core's process: `main.ts --archive FILE [--must-exist] [--beside]`, with an IPC channel to whoever started it. When that one goes, the core
 * stops what moves, commits, and leaves.
 */
import type { Channel } from '../contract/messages.ts';
import { startCore } from './core.ts';
import { defaultArchivePath } from './places.ts';

function parentChannel(): Channel | null {
  // Electron's utility process talks over its own port; a forked Node over IPC.
  const port = (process as { parentPort?: ElectronPort }).parentPort;
  if (port !== undefined) return electronChannel(port);
  if (process.send === undefined) return null;
  return {
    post(message) {
      // The other side may be gone at any moment; its going is handled by `disconnect`.
      if (process.connected) process.send?.(message, undefined, undefined, () => {});
    },
    onMessage(listener) {
      process.on('message', listener);
      return () => process.off('message', listener);
    },
    onClose(listener) {
      const onGone = (): void => listener('the program that started the core is gone');
      process.once('disconnect', onGone);
      return () => process.off('disconnect', onGone);
    },
    close() {
      if (process.connected) process.disconnect();
    },
  };
}

interface ElectronPort {
  postMessage(message: unknown): void;
  on(event: 'message', listener: (event: { data: unknown }) => void): void;
}

function electronChannel(port: ElectronPort): Channel {
  const isLeave = (data: unknown): boolean =>
    typeof data === 'object' && data !== null && 'kind' in data && data.kind === 'leave';
  return {
    post: (message) => port.postMessage(message),
    onMessage(listener) {
      port.on('message', ({ data }) => {
        if (!isLeave(data)) listener(data);
      });
      return () => {};
    },
    onClose(listener) {
      port.on('message', ({ data }) => {
        if (isLeave(data)) listener('asked to leave');
      });
      return () => {};
    },
    close() {},
  };
}

const flag = process.argv.indexOf('--archive');
const archivePath = (flag < 0 ? undefined : process.argv[flag + 1]) ?? defaultArchivePath();
const channel = parentChannel();
if (channel === null) {
  console.error(
    'The core is started by the window or the command line, never by hand. Try: npm run faderwright -- --help',
  );
  process.exit(2);
}

const core = startCore(channel, archivePath, {
  mustExist: process.argv.includes('--must-exist'),
  beside: process.argv.includes('--beside'),
});
let leaving = false;
async function leave(): Promise<void> {
  if (leaving) return;
  leaving = true;
  await core?.close();
  process.exit(0);
}

channel.onClose(() => void leave());
// A terminal's Ctrl-C reaches the whole group; the command line decides what it means.
process.on('SIGINT', () => {});
process.on('SIGTERM', () => void leave());
// The terminal was closed: whoever started the core may live on without one, or ends, which `onClose` tells.
process.on('SIGHUP', () => {});
if (core === null) channel.onMessage(() => {});
