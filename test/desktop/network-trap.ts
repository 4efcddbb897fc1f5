/** A server on this machine that counts whatever knocks: over TCP (any protocol) and over UDP. */
import { createSocket } from 'node:dgram';
import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { createServer } from 'node:net';

export interface NetworkTrap {
  readonly port: number;
  /** What has knocked so far, e.g. `tcp GET / HTTP/1.1`. */
  readonly knocks: readonly string[];
  close(): Promise<void>;
}

export async function networkTrap(): Promise<NetworkTrap> {
  const knocks: string[] = [];
  const tcp = createServer((socket) => {
    knocks.push('tcp connection');
    socket.on('data', (bytes) => {
      knocks.push(`tcp ${bytes.toString('latin1').split('\r\n')[0]}`);
      socket.end('HTTP/1.1 200 OK\r\naccess-control-allow-origin: *\r\ncontent-length: 2\r\n\r\nhi');
    });
    // A visitor that leaves early has been counted already.
    socket.on('error', () => {});
  });
  tcp.listen(0, '127.0.0.1');
  await once(tcp, 'listening');
  const { port } = tcp.address() as AddressInfo;
  const udp = createSocket('udp4');
  udp.on('message', (bytes) => knocks.push(`udp ${bytes.length} bytes`));
  udp.bind(port, '127.0.0.1');
  await once(udp, 'listening');
  return {
    port,
    knocks,
    async close() {
      udp.close();
      tcp.close();
      await once(tcp, 'close');
    },
  };
}
