import { expect, test } from 'vitest';
import type { CoreClient } from '../../src/contract/client.ts';
import { CoreError, CoreGoneError } from '../../src/contract/errors.ts';
import type { CoreLife } from '../../src/contract/shell.ts';
import { askEveryMs, silenceAllowedMs, superviseCore } from '../../src/shell/core-supervisor.ts';
import { manualClock } from './manual-clock.ts';

/** A core that a test brings to life, silences and ends by hand. */
class HandCore {
  readonly stops: (number | undefined)[] = [];
  answers = true;
  becomeReady: () => void = () => {};
  fail: (error: Error) => void = () => {};
  #gone: ((error: CoreGoneError) => void)[] = [];
  #markStopped: () => void = () => {};
  readonly #stopped = new Promise<void>((resolve) => {
    this.#markStopped = resolve;
  });
  readonly client: CoreClient;

  constructor() {
    const ready = new Promise<void>((resolve, reject) => {
      this.becomeReady = resolve;
      this.fail = reject;
    });
    ready.catch(() => {});
    this.client = {
      ready,
      call: () => (this.answers ? Promise.resolve({} as never) : new Promise(() => {})),
      onEvent: () => () => {},
      onGone: (listener) => {
        this.#gone.push(listener);
        return () => {};
      },
      close: () => {},
    };
  }

  end(reason: string): void {
    this.fail(new CoreGoneError(reason));
    for (const listener of this.#gone) listener(new CoreGoneError(reason));
    this.#markStopped();
  }

  stop(patienceMs?: number): Promise<void> {
    this.stops.push(patienceMs);
    return this.#stopped;
  }
}

/** Lets everything that waits on settled promises happen. */
const settle = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

function bench() {
  const clock = manualClock();
  const cores: HandCore[] = [];
  const lives: CoreLife[] = [];
  const supervisor = superviseCore({
    start() {
      const core = new HandCore();
      cores.push(core);
      return core;
    },
    onEvent: () => {},
    onLife: (life) => lives.push(life),
    log: () => {},
    nowMs: clock.nowMs,
    after: clock.after,
  });
  const newest = (): HandCore => cores.at(-1) as HandCore;
  return { clock, cores, lives, supervisor, newest, states: () => lives.map(({ state }) => state) };
}

test('a core that opens is running, and whoever waited for it gets its client', async () => {
  const { supervisor, newest, states } = bench();
  const client = supervisor.client();
  newest().becomeReady();
  expect(await client).toBe(newest().client);
  await settle();
  expect(states()).toEqual(['starting', 'running']);
});

test('a core that ends is started again and the reason is shown, also once it runs', async () => {
  const { lives, newest, cores, states } = bench();
  newest().becomeReady();
  await settle();
  newest().end('signal SIGKILL');
  newest().becomeReady();
  await settle();
  expect(cores).toHaveLength(2);
  expect(states()).toEqual(['starting', 'running', 'restarting', 'running']);
  expect(lives.at(-1)?.reason).toContain('SIGKILL');
});

test('a core that ends before it has opened is started again without being called gone', async () => {
  const { newest, states } = bench();
  newest().end('exit code 1');
  await settle();
  newest().becomeReady();
  await settle();
  expect(states()).toEqual(['starting', 'restarting', 'running']);
});

test('four endings within a minute are a defect: it stays down and says why', async () => {
  const { clock, cores, lives, newest, supervisor } = bench();
  for (let i = 0; i < 4; i += 1) {
    newest().becomeReady();
    await settle();
    newest().end('exit code 7');
    clock.advance(1_000);
  }
  expect(cores).toHaveLength(4);
  expect(lives.at(-1)).toMatchObject({ state: 'gone', reason: expect.stringContaining('4 times') });
  await expect(supervisor.client()).rejects.toThrow('exit code 7');
});

test('endings far apart are bad luck: it goes on', async () => {
  const { clock, cores, newest } = bench();
  for (let i = 0; i < 6; i += 1) {
    newest().becomeReady();
    await settle();
    newest().end('exit code 7');
    clock.advance(60_001);
  }
  expect(cores).toHaveLength(7);
});

test('a core that cannot open its archive says why and is not started again', async () => {
  const { cores, lives, newest } = bench();
  newest().fail(
    new CoreError({ code: 'archive.newer', message: 'Made by a newer program.', userFixable: true, details: [] }),
  );
  await settle();
  newest().end('exit code 0');
  await settle();
  expect(cores).toHaveLength(1);
  expect(lives.at(-1)).toEqual({ state: 'gone', reason: 'Made by a newer program.' });
});

test('a restart waits for the old core to be gone: two would fight over archive and port', async () => {
  const { cores, newest, supervisor, states } = bench();
  newest().becomeReady();
  await settle();
  const restart = supervisor.restart();
  const client = supervisor.client();
  await settle();
  expect(cores).toHaveLength(1);
  newest().end('asked to leave');
  await restart;
  expect(cores).toHaveLength(2);
  newest().becomeReady();
  expect(await client).toBe(newest().client);
  expect(states()).toEqual(['starting', 'running', 'restarting', 'restarting', 'running']);
});

test('a core that no longer answers is ended, and then replaced', async () => {
  const { clock, cores, newest } = bench();
  newest().becomeReady();
  await settle();
  clock.advance(askEveryMs);
  await settle();
  expect(newest().stops).toEqual([]);
  newest().answers = false;
  clock.advance(askEveryMs);
  clock.advance(silenceAllowedMs);
  expect(newest().stops).toEqual([1_000]);
  newest().end('signal SIGKILL');
  expect(cores).toHaveLength(2);
});

test('leaving stops the core and starts no other', async () => {
  const { cores, newest, supervisor } = bench();
  newest().becomeReady();
  await settle();
  const left = supervisor.stop();
  await settle();
  newest().end('asked to leave');
  await left;
  expect(newest().stops).toEqual([undefined]);
  expect(cores).toHaveLength(1);
});
