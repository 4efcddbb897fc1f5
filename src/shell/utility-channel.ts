/** The contract's channel over Electron's utility process: how the packaged app runs its core. */
import type { UtilityProcess } from 'electron';
import type { Channel } from '../contract/messages.ts';

export interface UtilityChannel extends Channel {
  /** Asks the core to leave and waits; kills it after `patienceMs`. */
  stop(patienceMs?: number): Promise<void>;
}

export function utilityChannel(child: UtilityProcess): UtilityChannel {
  let exited = false;
  child.once('exit', () => {
    exited = true;
  });
  return {
    post(message) {
      if (!exited) child.postMessage(message);
    },
    onMessage(listener) {
      child.on('message', listener);
      return () => child.off('message', listener);
    },
    onClose(listener) {
      const onExit = (code: number): void => listener(`exit code ${code}`);
      child.once('exit', onExit);
      return () => child.off('exit', onExit);
    },
    close() {
      if (!exited) child.postMessage({ kind: 'leave' });
    },
    async stop(patienceMs = 5_000) {
      if (exited) return;
      const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
      child.postMessage({ kind: 'leave' });
      const timer = setTimeout(() => child.kill(), patienceMs);
      await ended;
      clearTimeout(timer);
    },
  };
}
