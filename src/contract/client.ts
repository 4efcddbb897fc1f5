/** The caller's side of the contract. Everything that arrives is checked before it is believed. */
import { type CommandInput, type CommandName, type CommandOutput, commands } from './commands.ts';
import { ContractError, CoreError, CoreGoneError, shapeInWords } from './errors.ts';
import { type Channel, fromCore } from './messages.ts';
import type { CoreEvent } from './state.ts';

interface Waiting {
  readonly name: CommandName;
  readonly resolve: (output: unknown) => void;
  readonly reject: (error: Error) => void;
}

export interface CoreClient {
  /** Resolves when the core has opened its archive; rejects with the reason when it could not. */
  readonly ready: Promise<void>;
  call<N extends CommandName>(name: N, input: CommandInput<N>): Promise<CommandOutput<N>>;
  onEvent(listener: (event: CoreEvent) => void): () => void;
  onGone(listener: (error: CoreGoneError) => void): () => void;
  close(): void;
}

export function connectCore(channel: Channel): CoreClient {
  const waiting = new Map<number, Waiting>();
  const listeners = new Set<(event: CoreEvent) => void>();
  const goneListeners = new Set<(error: CoreGoneError) => void>();
  let nextId = 1;
  let gone: CoreGoneError | null = null;
  let markReady: () => void = () => {};
  let markFailed: (error: Error) => void = () => {};
  const ready = new Promise<void>((resolve, reject) => {
    markReady = resolve;
    markFailed = reject;
  });
  // Whoever awaits `ready` sees the failure; a caller that only uses call() must not crash on it.
  ready.catch(() => {});

  channel.onMessage((raw) => {
    const parsed = fromCore.safeParse(raw);
    if (!parsed.success) {
      failAll(new ContractError('A message from the core', shapeInWords(parsed.error)));
      return;
    }
    const message = parsed.data;
    if (message.kind === 'ready') markReady();
    else if (message.kind === 'failed') markFailed(new CoreError(message.error));
    else if (message.kind === 'event') for (const listener of listeners) listener(message.event);
    else
      settle(
        message.id,
        message.kind === 'done' ? { output: message.output } : { error: new CoreError(message.error) },
      );
  });

  channel.onClose((reason) => {
    gone = new CoreGoneError(reason);
    failAll(gone);
    for (const listener of goneListeners) listener(gone);
  });

  function settle(id: number, result: { output: unknown } | { error: Error }): void {
    const entry = waiting.get(id);
    if (entry === undefined) return;
    waiting.delete(id);
    if ('error' in result) {
      entry.reject(result.error);
      return;
    }
    const checked = commands[entry.name].output.safeParse(result.output);
    if (checked.success) entry.resolve(checked.data);
    else entry.reject(new ContractError(`The answer to ${entry.name}`, shapeInWords(checked.error)));
  }

  function failAll(error: Error): void {
    markFailed(error);
    for (const entry of waiting.values()) entry.reject(error);
    waiting.clear();
  }

  return {
    ready,
    call(name, input) {
      if (gone !== null) return Promise.reject(gone);
      const id = nextId++;
      return new Promise((resolve, reject) => {
        waiting.set(id, { name, resolve: resolve as (output: unknown) => void, reject });
        channel.post({ kind: 'call', id, name, input });
      });
    },
    onEvent(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    onGone(listener) {
      goneListeners.add(listener);
      return () => goneListeners.delete(listener);
    },
    close: () => channel.close(),
  };
}
