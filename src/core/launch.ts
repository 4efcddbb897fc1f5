/**
 * Starts the core as its own process under a plain Node and gives the contract's channel to it. Knows the contract
 * only, so the shell may use it too.
 */
import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { type CoreClient, connectCore } from '../contract/client.ts';
import type { Channel } from '../contract/messages.ts';

/**
 * A long day makes much short-lived garbage: with V8's own choice the core grows to three times of what it needs before it
 * tidies up. A small young generation keeps it small and costs no measurable time (`npm run bench -- --only window`).
 */
const smallYoungGeneration = ['--max-semi-space-size=2', '--optimize-for-size'];

export interface CoreLaunch {
  readonly archivePath: string;
  /** True = refuse an archive that is not there instead of making it. */
  readonly mustExist?: boolean;
  /** True = a core that neither measures nor connects, and so may work while a station does. */
  readonly beside?: boolean;
  /** The Node that runs the core; default the one running this. */
  readonly execPath?: string;
  /** The core's entry file; default the one beside this file. */
  readonly entry?: string;
  /** Takes what the core prints, for a log; default this process's own output. */
  readonly onOutput?: (text: string) => void;
}

export interface RunningCore {
  readonly client: CoreClient;
  readonly process: ChildProcess;
  /** Asks the core to finish safely and waits for its end; kills it after `patienceMs`. */
  stop(patienceMs?: number): Promise<void>;
}

export function launchCore(launch: CoreLaunch): RunningCore {
  const { archivePath, mustExist = false, beside = false, execPath = process.execPath, entry, onOutput } = launch;
  const file = entry ?? fileURLToPath(new URL('./main.ts', import.meta.url));
  const { ELECTRON_RUN_AS_NODE: _inherited, ...env } = process.env;
  const flags = [...(mustExist ? ['--must-exist'] : []), ...(beside ? ['--beside'] : [])];
  const child = fork(file, ['--archive', archivePath, ...flags], {
    execPath,
    execArgv: [...smallYoungGeneration],
    env,
    serialization: 'advanced',
    stdio: onOutput === undefined ? ['ignore', 'inherit', 'inherit', 'ipc'] : ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  if (onOutput !== undefined) {
    for (const stream of [child.stdout, child.stderr]) stream?.setEncoding('utf8').on('data', onOutput);
  }
  let isGone = false;
  const gone = new Promise<void>((resolve) => {
    const onGone = (): void => {
      isGone = true;
      resolve();
    };
    child.once('exit', onGone);
    // A process that could not be started has no end.
    child.once('error', () => child.pid === undefined && onGone());
  });
  const client = connectCore(childChannel(child));
  return {
    client,
    process: child,
    async stop(patienceMs = 5_000) {
      if (isGone) return;
      // The core takes the loss of its channel as the order to stop motion, commit and leave.
      client.close();
      const timer = setTimeout(() => child.kill('SIGKILL'), patienceMs);
      await gone;
      clearTimeout(timer);
    },
  };
}

function childChannel(child: ChildProcess): Channel {
  return {
    post(message) {
      if (!child.connected) return;
      // A failed send means the child is going; its exit reports to every waiting caller.
      child.send(message as object, () => {});
    },
    onMessage(listener) {
      child.on('message', listener);
      return () => child.off('message', listener);
    },
    onClose(listener) {
      const onExit = (code: number | null, signal: string | null): void =>
        listener(signal === null ? `exit code ${code}` : `signal ${signal}`);
      // An error of a running child is one failed message; only one that never ran has its end here.
      const onError = (error: Error): void => {
        if (child.pid === undefined) listener(`it could not be started: ${error.message}`);
      };
      child.once('exit', onExit);
      child.on('error', onError);
      return () => {
        child.off('exit', onExit);
        child.off('error', onError);
      };
    },
    close() {
      if (child.connected) child.disconnect();
    },
  };
}
