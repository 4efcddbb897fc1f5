/** Answers the window's calls. Only our own page may ask, and every input is checked before it goes anywhere. */
import type { IpcMain, IpcMainInvokeEvent } from 'electron';
import type { CoreClient } from '../contract/client.ts';
import { type CommandName, commands } from '../contract/commands.ts';
import { ContractError, toErrorData } from '../contract/errors.ts';
import {
  type Bridged,
  type ShellCommandName,
  type ShellInput,
  type ShellOutput,
  shellCommands,
} from '../contract/shell.ts';
import { scheme } from './security.ts';

export type ShellHandlers = {
  readonly [N in ShellCommandName]: (input: ShellInput<N>) => Promise<ShellOutput<N>> | ShellOutput<N>;
};

const isOurPage = (event: IpcMainInvokeEvent): boolean =>
  event.senderFrame?.url.startsWith(`${scheme}://window/`) === true;

async function answer(work: () => Promise<unknown>): Promise<Bridged> {
  try {
    return { ok: true, output: await work() };
  } catch (error) {
    return { ok: false, error: toErrorData(error) };
  }
}

export function bridge(ipcMain: IpcMain, client: () => Promise<CoreClient>, shell: ShellHandlers): void {
  ipcMain.handle('core', (event, name: unknown, input: unknown) =>
    answer(async () => {
      if (!isOurPage(event)) throw new ContractError('A call', 'it does not come from this program');
      if (typeof name !== 'string' || !Object.hasOwn(commands, name))
        throw new ContractError('A call', `no command ${String(name)}`);
      const checked = commands[name as CommandName].input.safeParse(input);
      if (!checked.success) throw new ContractError(`The call ${name}`, checked.error.message);
      const core = await client();
      return core.call(name as CommandName, checked.data as never);
    }),
  );
  ipcMain.handle('shell', (event, name: unknown, input: unknown) =>
    answer(async () => {
      if (!isOurPage(event)) throw new ContractError('A call', 'it does not come from this program');
      if (typeof name !== 'string' || !Object.hasOwn(shellCommands, name)) {
        throw new ContractError('A call', `no command ${String(name)}`);
      }
      const checked = shellCommands[name as ShellCommandName].input.safeParse(input);
      if (!checked.success) throw new ContractError(`The call ${name}`, checked.error.message);
      return shell[name as ShellCommandName](checked.data as never);
    }),
  );
}
