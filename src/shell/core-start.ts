/** Starts the core: in a plain Node from a checkout, in Electron's utility process when packaged. Its output goes to the log. */
import { utilityProcess } from 'electron';
import { connectCore } from '../contract/client.ts';
import { launchCore } from '../core/launch.ts';
import type { StartedCore } from './core-supervisor.ts';
import type { Places } from './places.ts';
import { utilityChannel } from './utility-channel.ts';

export function coreStarter(where: Places, archivePath: string, log: (text: string) => void): () => StartedCore {
  const { coreEntry, coreNode } = where;
  if (coreNode !== null) {
    return () => launchCore({ archivePath, execPath: coreNode, entry: coreEntry, onOutput: log });
  }
  return () => {
    const child = utilityProcess.fork(coreEntry, ['--archive', archivePath], {
      serviceName: 'Faderwright core',
      stdio: 'pipe',
    });
    for (const stream of [child.stdout, child.stderr]) {
      stream?.on('data', (chunk: Buffer) => log(chunk.toString('utf8')));
    }
    const channel = utilityChannel(child);
    return { client: connectCore(channel), stop: channel.stop };
  };
}
