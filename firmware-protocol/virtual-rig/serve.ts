import { type ChildProcess, fork } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { RigOptions } from './options.ts';
import { unlinkPort } from './port-names.ts';
import { openPty, PtyUnavailableError } from './pty.ts';
import {
  type RemoteSideDoor,
  type RigFault,
  type RigReply,
  type RigRequest,
  sideDoorCalls,
} from './remote-side-door.ts';

export interface RigProcess {
  /** Serial port of the rig. */
  readonly path: string;
  readonly sideDoor: RemoteSideDoor;
  readonly process: ChildProcess;
  /** Ends the rig; resolves when its process is gone. */
  stop(): Promise<void>;
}

export interface RigProcessPlace {
  /** The Node that runs the rig; default the one running this. */
  readonly execPath?: string;
  /** Entry file; default the one beside this file. */
  readonly entry?: string;
}

/** The rig's process answered with an error, or is gone. */
export class RigProcessError extends Error {
  override readonly name = 'RigProcessError';
  readonly code: string;
  readonly userFixable: boolean;

  constructor(fault: RigFault) {
    super(fault.message);
    this.code = fault.code;
    this.userFixable = fault.userFixable;
  }
}

const ownEntry = fileURLToPath(new URL('./main.ts', import.meta.url));

/** Null = `startRigProcess` can work on this machine, else why not, in words for a person. */
export async function ptyProblem(): Promise<string | null> {
  // A packed program is one file, and inside Electron no plain Node can be started.
  if (!existsSync(ownEntry) || process.versions.electron !== undefined)
    return 'this is the packed program, which keeps its virtual rig inside itself';
  try {
    (await openPty()).close();
    return null;
  } catch (error) {
    if (error instanceof PtyUnavailableError) return error.message;
    throw error;
  }
}

/** Starts a virtual rig in its own process on a pseudo-terminal. @throws RigProcessError, e.g. `ptyUnavailable` */
export async function startRigProcess(options: RigOptions, place: RigProcessPlace = {}): Promise<RigProcess> {
  const { ELECTRON_RUN_AS_NODE: _inherited, ...env } = process.env;
  const child = fork(place.entry ?? ownEntry, ['--serve-parent'], {
    execPath: place.execPath ?? process.execPath,
    // Streams make much short-lived garbage; a small young generation keeps the process small.
    execArgv: ['--max-semi-space-size=2', '--optimize-for-size'],
    env,
    serialization: 'advanced',
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  const ask = askOver(child);
  try {
    const started = (await ask({ do: 'start', options })) as { readonly path: string };
    // A rig that was killed leaves its name behind, and the device it leads to is soon another rig's.
    child.once('exit', () => void unlinkPort(started.path).catch(() => undefined));
    const sideDoor = Object.fromEntries(
      sideDoorCalls.map((name) => [name, (...args: unknown[]) => ask({ do: 'call', name, args })]),
    ) as unknown as RemoteSideDoor;
    return { path: started.path, sideDoor, process: child, stop: () => stop(child) };
  } catch (error) {
    await stop(child);
    throw error;
  }
}

type Question =
  | { readonly do: 'start'; readonly options: RigOptions }
  | { readonly do: 'call'; readonly name: string; readonly args: readonly unknown[] };

function askOver(child: ChildProcess): (question: Question) => Promise<unknown> {
  let nextId = 0;
  const waiting = new Map<number, { resolve: (value: unknown) => void; reject: (error: Error) => void }>();
  child.on('message', (message) => {
    const reply = message as RigReply;
    const asker = waiting.get(reply.id);
    waiting.delete(reply.id);
    if (reply.ok) asker?.resolve(reply.result);
    else asker?.reject(new RigProcessError(reply.error));
  });
  const gone = (message: string): void => {
    for (const asker of waiting.values())
      asker.reject(new RigProcessError({ code: 'rigProcessGone', message, userFixable: false }));
    waiting.clear();
  };
  child.on('exit', (code, signal) =>
    gone(`The virtual rig's process has ended (${signal ?? `exit code ${code}`}). Start a virtual rig again.`),
  );
  child.on('error', (error) => gone(`The virtual rig's process could not be started: ${error.message}.`));
  return (question) =>
    new Promise((resolve, reject) => {
      const id = nextId++;
      waiting.set(id, { resolve, reject });
      const request: RigRequest = { id, ...question };
      if (!child.connected) gone("The virtual rig's process has ended. Start a virtual rig again.");
      else
        child.send(request, (error) => {
          if (error) gone(`The virtual rig's process does not listen: ${error.message}.`);
        });
    });
}

async function stop(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  // The rig takes the loss of its channel as the order to leave.
  if (child.connected) child.disconnect();
  const timer = setTimeout(() => child.kill('SIGKILL'), 3000);
  await ended;
  clearTimeout(timer);
}
