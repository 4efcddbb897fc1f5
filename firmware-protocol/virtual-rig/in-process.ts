import { Duplex } from 'node:stream';
import { type Clock, realClock } from './clock.ts';
import type { RigOptions } from './options.ts';
import { RigHost } from './rig-host.ts';
import type { SideDoor } from './side-door.ts';

export interface VirtualRig {
  /** The station's end of the line; a new one after every `plug`. */
  readonly port: Duplex;
  readonly sideDoor: SideDoor;
  /** A fresh end of the line, as opening the port again gives it; null while unplugged. The one before is cut. */
  reopen(): Duplex | null;
  /** Ends all timers. */
  close(): void;
}

/** A virtual rig in this process, spoken to over a stream as over a serial port. */
export function createVirtualRig(options: RigOptions & { readonly clock?: Clock }): VirtualRig {
  let port: Duplex | null = null;
  const host = new RigHost(options, options.clock ?? realClock, (pluggedIn) => {
    if (!pluggedIn) {
      port?.destroy(new Error('the cable was pulled'));
      port = null;
    } else port = open();
  });
  const open = (): Duplex => {
    const end: Duplex = new Duplex({
      read() {},
      write(chunk: Buffer, _encoding, done) {
        toRig(chunk);
        done();
      },
      destroy(error, done) {
        if (port === end) host.disconnect();
        done(error);
      },
    });
    // A pulled cable nobody listens at is no defect of this process.
    end.on('error', () => undefined);
    const toRig = host.connect({ toStation: (bytes) => void end.push(bytes) });
    return end;
  };
  port = open();
  return {
    get port() {
      if (!port) throw new Error('the virtual rig is unplugged; plug it in first');
      return port;
    },
    sideDoor: host,
    reopen() {
      if (!host.moment().pluggedIn) return null;
      port?.destroy();
      port = open();
      return port;
    },
    close() {
      host.close();
      port?.destroy();
    },
  };
}
