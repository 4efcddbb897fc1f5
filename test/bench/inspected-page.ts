/** The least of the inspector's protocol that a measurement needs: one page, one expression, and the end of the program. */
import { setTimeout as wait } from 'node:timers/promises';

interface Target {
  readonly type: string;
  readonly url: string;
  readonly webSocketDebuggerUrl: string;
}

/** The first page of the program that listens at `address` (`ws://127.0.0.1:PORT/...`), as soon as there is one. */
export async function firstPage(address: string): Promise<InspectedPage> {
  const { host } = new URL(address);
  for (;;) {
    const targets = (await (await fetch(`http://${host}/json/list`)).json()) as readonly Target[];
    const page = targets.find(({ type, url }) => type === 'page' && url.startsWith('faderwright:'));
    if (page !== undefined) return new InspectedPage(await connected(page.webSocketDebuggerUrl));
    await wait(10);
  }
}

/** Asks the whole program to end. */
export async function closeProgram(address: string): Promise<void> {
  (await connected(address)).send(JSON.stringify({ id: 1, method: 'Browser.close' }));
}

async function connected(address: string): Promise<WebSocket> {
  const socket = new WebSocket(address);
  await new Promise<void>((resolve, reject) => {
    socket.addEventListener('open', () => resolve());
    socket.addEventListener('error', () => reject(new Error(`No inspector answers at ${address}.`)));
  });
  return socket;
}

export class InspectedPage {
  readonly #socket: WebSocket;
  #nextId = 1;

  constructor(socket: WebSocket) {
    this.#socket = socket;
  }

  /** The value of a JavaScript expression in the page, awaited when it is a promise. */
  evaluate(expression: string): Promise<unknown> {
    const id = this.#nextId++;
    return new Promise((resolve, reject) => {
      const onClose = (): void => reject(new Error('The page has gone.'));
      const onMessage = (event: MessageEvent): void => {
        const answer = JSON.parse(String(event.data)) as { id?: number; result?: { result?: { value?: unknown } } };
        if (answer.id !== id) return;
        this.#socket.removeEventListener('message', onMessage);
        this.#socket.removeEventListener('close', onClose);
        resolve(answer.result?.result?.value);
      };
      this.#socket.addEventListener('message', onMessage);
      this.#socket.addEventListener('close', onClose);
      const params = { expression, awaitPromise: true, returnByValue: true };
      this.#socket.send(JSON.stringify({ id, method: 'Runtime.evaluate', params }));
    });
  }

  close(): void {
    this.#socket.close();
  }
}
