import { realClock } from './clock.ts';
import type { RigOptions } from './options.ts';
import { linkPort, stablePortPath, sweepPortNames, unlinkPort } from './port-names.ts';
import { openPty, type Pty } from './pty.ts';
import { RigHost } from './rig-host.ts';

export interface ServedRig {
  /** What the station opens like any serial port. */
  readonly path: string;
  readonly host: RigHost;
  /** Resolves when the last plug or unplug has taken effect. */
  settled(): Promise<void>;
  close(): Promise<void>;
}

/** Bytes that wait for a station that does not read; more are lost, as on any serial line. */
const unreadBytesMax = 65_536;

/** Serves a virtual rig on a pseudo-terminal of this process. @throws PtyUnavailableError, RangeError */
export async function servePty(options: RigOptions): Promise<ServedRig> {
  let pty: Pty | null = null;
  let change: Promise<void> = Promise.resolve();
  const host = new RigHost(options, realClock, (pluggedIn) => {
    change = change.then(pluggedIn ? plugIn : pullOut);
  });
  const path = stablePortPath(host.traits.serial);
  const plugIn = async (): Promise<void> => {
    const opened = await openPty();
    pty = opened;
    const { stream } = opened;
    const toRig = host.connect({
      toStation: (bytes) => {
        if (stream.writableLength < unreadBytesMax && !stream.destroyed) stream.write(bytes);
      },
    });
    stream.on('data', toRig);
    // The kernel reports a pseudo-terminal that was just closed as an error of reading; there is nothing left to lose.
    stream.on('error', () => opened.close());
    await linkPort(path, opened.devicePath);
  };
  const pullOut = async (): Promise<void> => {
    const old = pty;
    pty = null;
    // The name goes first: a freed device is soon another rig's, and the name must not lead there.
    await unlinkPort(path);
    old?.close();
  };
  await sweepPortNames();
  try {
    await plugIn();
  } catch (error) {
    host.close();
    throw error;
  }
  return {
    path,
    host,
    settled: () => change,
    async close() {
      await change;
      host.close();
      await pullOut();
    },
  };
}
