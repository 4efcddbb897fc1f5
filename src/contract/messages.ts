/** The envelopes on the channel between the core and whoever uses it. */
import { z } from 'zod';
import { commands } from './commands.ts';
import { errorData } from './errors.ts';
import { coreEvent } from './state.ts';

const names = Object.keys(commands) as [keyof typeof commands, ...(keyof typeof commands)[]];

export const call = z.object({
  kind: z.literal('call'),
  id: z.number().int(),
  name: z.enum(names),
  input: z.unknown(),
});
export type Call = z.infer<typeof call>;

export const fromCore = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('ready') }),
  z.object({ kind: z.literal('failed'), error: errorData }),
  z.object({ kind: z.literal('done'), id: z.number().int(), output: z.unknown() }),
  z.object({ kind: z.literal('error'), id: z.number().int(), error: errorData }),
  z.object({ kind: z.literal('event'), event: coreEvent }),
]);
export type FromCore = z.infer<typeof fromCore>;

/** A two-way channel: a child process, a utility process, or a pair in one process. */
export interface Channel {
  post(message: unknown): void;
  onMessage(listener: (message: unknown) => void): () => void;
  /** Fires once, when the other side is gone. */
  onClose(listener: (reason: string) => void): () => void;
  close(): void;
}
