/** The core's side of the contract: checks each call, dispatches it, answers with data or a typed error. */
import { type CommandInput, type CommandName, type CommandOutput, commands } from '../contract/commands.ts';
import { ContractError, shapeInWords, toErrorData } from '../contract/errors.ts';
import { type Channel, call, type FromCore } from '../contract/messages.ts';
import type { CoreEvent } from '../contract/state.ts';

export type Handlers = {
  readonly [N in CommandName]: (input: CommandInput<N>) => Promise<CommandOutput<N>> | CommandOutput<N>;
};

export interface CoreServer {
  emit(event: CoreEvent): void;
  ready(): void;
  failed(error: unknown): void;
}

export function serve(channel: Channel, handlers: () => Handlers | null): CoreServer {
  const send = (message: FromCore): void => channel.post(message);
  /** Why the core cannot work, once that is known: every later call is answered with it. */
  let failure: { readonly error: unknown } | null = null;

  channel.onMessage((raw) => {
    const parsed = call.safeParse(raw);
    if (!parsed.success) {
      const error = toErrorData(new ContractError('A call', shapeInWords(parsed.error)));
      const id = idOf(raw);
      // Whoever waits for an answer gets one, even to a call that nobody understands.
      send(id === null ? { kind: 'event', event: { kind: 'trouble', error } } : { kind: 'error', id, error });
      return;
    }
    const { id, name, input } = parsed.data;
    void answer(id, name, input);
  });

  async function answer(id: number, name: CommandName, input: unknown): Promise<void> {
    try {
      if (failure !== null) throw failure.error;
      const table = handlers();
      if (table === null) throw new ContractError(`The call ${name}`, 'the core is still opening its archive');
      const checked = commands[name].input.safeParse(input);
      if (!checked.success) throw new ContractError(`The call ${name}`, shapeInWords(checked.error));
      const handler = table[name] as (value: unknown) => unknown;
      send({ kind: 'done', id, output: await handler(checked.data) });
    } catch (error) {
      send({ kind: 'error', id, error: toErrorData(error) });
    }
  }

  return {
    emit: (event) => send({ kind: 'event', event }),
    ready: () => send({ kind: 'ready' }),
    failed(error) {
      failure = { error };
      send({ kind: 'failed', error: toErrorData(error) });
    },
  };
}

function idOf(raw: unknown): number | null {
  if (typeof raw !== 'object' || raw === null || !('id' in raw)) return null;
  return typeof raw.id === 'number' && Number.isSafeInteger(raw.id) ? raw.id : null;
}
