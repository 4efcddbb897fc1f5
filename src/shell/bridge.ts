/** Answers the window's calls. Only our own page may ask, and every input is checked before it goes anywhere. */
import type { IpcMain, IpcMainInvokeEvent, WebContents } from 'electron';
import type { CoreClient } from '../contract/client.ts';
import { type CommandInput, type CommandName, type CommandOutput, commands } from '../contract/commands.ts';
import { ContractError, shapeInWords, toErrorData } from '../contract/errors.ts';
import {
  type Bridged,
  type ShellCommandName,
  type ShellInput,
  type ShellOutput,
  shellCommands,
} from '../contract/shell.ts';
import { type ChosenPaths, checkPaths } from './chosen-paths.ts';
import { scheme } from './security.ts';

export type ShellHandlers = {
  readonly [N in ShellCommandName]: (input: ShellInput<N>) => Promise<ShellOutput<N>> | ShellOutput<N>;
};

export interface BridgeNeeds {
  readonly ipcMain: Pick<IpcMain, 'handle'>;
  /** The one window that may ask; null while there is none. */
  readonly contents: () => WebContents | null;
  readonly client: () => Promise<CoreClient>;
  readonly shell: ShellHandlers;
  readonly paths: ChosenPaths;
  /** Follows a held key: called with the creep's outcome. */
  readonly watchHold: <T>(creep: Promise<T>) => Promise<T>;
  readonly log: (text: string) => void;
}

/** Our window's top frame, showing our own page: not a frame inside it, not another window, not a page it was led to. */
export function isOurPage(
  event: Pick<IpcMainInvokeEvent, 'sender' | 'senderFrame'>,
  contents: WebContents | null,
): boolean {
  const frame = event.senderFrame;
  if (contents === null || frame === null || event.sender !== contents) return false;
  return frame === contents.mainFrame && frame.parent === null && frame.url.startsWith(`${scheme}://window/`);
}

async function answer(work: () => Promise<unknown>): Promise<Bridged> {
  try {
    return { ok: true, output: await work() };
  } catch (error) {
    return { ok: false, error: toErrorData(error) };
  }
}

export function bridge({ ipcMain, contents, client, shell, paths, watchHold, log }: BridgeNeeds): void {
  function mustBeOurs(event: IpcMainInvokeEvent, channel: string): void {
    if (isOurPage(event, contents())) return;
    log(`refused a ${channel} call from ${event.senderFrame?.url.slice(0, 200) ?? 'a frame that is gone'}`);
    throw new ContractError('A call', 'it does not come from this program');
  }

  ipcMain.handle('core', (event, name: unknown, input: unknown) =>
    answer(async () => {
      mustBeOurs(event, 'core');
      if (!isNameIn(commands, name)) throw new ContractError('A call', `no command ${String(name).slice(0, 80)}`);
      const checked = commands[name].input.safeParse(input);
      if (!checked.success) throw new ContractError(`The call ${name}`, shapeInWords(checked.error));
      checkPaths(name, checked.data, paths);
      const core = await client();
      const outcome = core.call(name, checked.data as CommandInput<typeof name>) as Promise<CommandOutput<CommandName>>;
      return name === 'rig.creep' ? watchHold(outcome) : outcome;
    }),
  );
  ipcMain.handle('shell', (event, name: unknown, input: unknown) =>
    answer(async () => {
      mustBeOurs(event, 'shell');
      if (!isNameIn(shellCommands, name)) throw new ContractError('A call', `no command ${String(name).slice(0, 80)}`);
      const checked = shellCommands[name].input.safeParse(input);
      if (!checked.success) throw new ContractError(`The call ${name}`, shapeInWords(checked.error));
      const handler = shell[name] as (input: unknown) => unknown;
      return handler(checked.data);
    }),
  );
}

const isNameIn = <T extends object>(table: T, name: unknown): name is keyof T & string =>
  typeof name === 'string' && Object.hasOwn(table, name);
