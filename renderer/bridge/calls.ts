/** Typed calls into the core and the shell. What comes back is checked here, on the receiving side. */
import type { z } from 'zod';
import { type CommandInput, type CommandName, type CommandOutput, commands } from '../../src/contract/commands.ts';
import { ContractError, CoreError } from '../../src/contract/errors.ts';
import {
  type Bridge,
  bridged,
  type CoreLife,
  coreLife,
  type MenuWish,
  menuWish,
  type ShellCommandName,
  type ShellInput,
  type ShellOutput,
  shellCommands,
} from '../../src/contract/shell.ts';
import { type CoreEvent, coreEvent } from '../../src/contract/state.ts';
import { actionOf } from './troubles.ts';

declare global {
  interface Window {
    readonly faderwright: Bridge;
  }
}

function checked<T>(what: string, schema: z.ZodType<T>, value: unknown): T {
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  throw new ContractError(what, result.error.message);
}

function opened(what: string, raw: unknown): unknown {
  const envelope = checked(what, bridged, raw);
  if (envelope.ok) return envelope.output;
  throw new CoreError(envelope.error);
}

const failedActions = new WeakMap<object, string>();
const successListeners = new Set<(action: string) => void>();

/** What was tried when this error came of a call; null when it came of something else. */
export const failedAction = (error: unknown): string | null =>
  typeof error === 'object' && error !== null ? (failedActions.get(error) ?? null) : null;

/** Hears the action of every call that succeeded. */
export function onCallSuccess(listener: (action: string) => void): () => void {
  successListeners.add(listener);
  return () => successListeners.delete(listener);
}

async function followed<T>(name: string, input: unknown, call: () => Promise<T>): Promise<T> {
  const action = actionOf(name, input);
  try {
    const output = await call();
    for (const listener of successListeners) listener(action);
    return output;
  } catch (error) {
    if (typeof error === 'object' && error !== null) failedActions.set(error, action);
    throw error;
  }
}

/** @throws CoreError with code, words and details of whatever went wrong. */
export const callCore = <N extends CommandName>(name: N, input: CommandInput<N>): Promise<CommandOutput<N>> =>
  followed(name, input, async () => {
    const output = opened(name, await window.faderwright.callCore(name, input));
    return checked(`The answer to ${name}`, commands[name].output as z.ZodType<CommandOutput<N>>, output);
  });

export const callShell = <N extends ShellCommandName>(name: N, input: ShellInput<N>): Promise<ShellOutput<N>> =>
  followed(name, input, async () => {
    const output = opened(name, await window.faderwright.callShell(name, input));
    const schema = shellCommands[name].output as z.ZodType as z.ZodType<ShellOutput<N>>;
    return checked(`The answer to ${name}`, schema, output);
  });

export const onCoreEvent = (listener: (event: CoreEvent) => void): (() => void) =>
  window.faderwright.onCoreEvent((raw) => listener(checked('An event', coreEvent, raw)));

export const onCoreLife = (listener: (life: CoreLife) => void): (() => void) =>
  window.faderwright.onCoreLife((raw) => listener(checked('The state of the core', coreLife, raw)));

export const onMenuWish = (listener: (wish: MenuWish) => void): (() => void) =>
  window.faderwright.onMenuWish((raw) => listener(checked('A menu entry', menuWish, raw)));
