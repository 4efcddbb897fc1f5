/** What the window may ask of the shell: dialogs, files, printing. Never measurement: that is the core's contract. */
import { z } from 'zod';
import { errorData } from './errors.ts';

const filter = z.object({ name: z.string(), extensions: z.array(z.string()) });

const define = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

export const shellCommands = {
  /** The chosen file's name and text; null when the person changed their mind. */
  'file.open': define(
    z.object({ title: z.string(), filters: z.array(filter) }),
    z.object({ name: z.string(), text: z.string() }).nullable(),
  ),
  /** A path for a file to write; null when the person changed their mind. */
  'file.choosePath': define(
    z.object({ title: z.string(), suggestedName: z.string(), filters: z.array(filter) }),
    z.object({ path: z.string() }).nullable(),
  ),
  'file.show': define(z.object({ path: z.string() }), z.object({})),
  'print.pdf': define(z.object({ path: z.string() }), z.object({ bytes: z.number().int() })),
  'print.paper': define(z.object({}), z.object({})),
  'clipboard.copy': define(z.object({ text: z.string().max(5_000_000) }), z.object({})),
  'logs.show': define(z.object({}), z.object({ folder: z.string() })),
  'core.restart': define(z.object({}), z.object({})),
  /** A jog key is still held; repeated every 100 ms during `rig.creep`, which the shell halts when this falls silent. */
  'jog.held': define(z.object({}), z.object({})),
} as const;

export type ShellCommands = typeof shellCommands;
export type ShellCommandName = keyof ShellCommands;
export type ShellInput<N extends ShellCommandName> = z.infer<ShellCommands[N]['input']>;
export type ShellOutput<N extends ShellCommandName> = z.infer<ShellCommands[N]['output']>;

/** What the shell tells the window about the core's life. */
export const coreLife = z.object({
  state: z.enum(['starting', 'running', 'restarting', 'gone']),
  /** Why, in words for a person; null at the first start and when the operator wished it. */
  reason: z.string().nullable(),
});
export type CoreLife = z.infer<typeof coreLife>;

/** Menu entries that the window acts on. */
export const menuWish = z.enum(['bench', 'faders', 'laws', 'rig', 'settings', 'stop', 'print']);
export type MenuWish = z.infer<typeof menuWish>;

/** Answer envelope over the bridge: errors travel as data because a bridge strips classes. */
export const bridged = z.union([
  z.object({ ok: z.literal(true), output: z.unknown() }),
  z.object({ ok: z.literal(false), error: errorData }),
]);
export type Bridged = z.infer<typeof bridged>;

/** What the preload script puts on `window.faderwright`. */
export interface Bridge {
  callCore(name: string, input: unknown): Promise<unknown>;
  callShell(name: string, input: unknown): Promise<unknown>;
  onCoreEvent(listener: (event: unknown) => void): () => void;
  onCoreLife(listener: (life: unknown) => void): () => void;
  onMenuWish(listener: (wish: unknown) => void): () => void;
}
