import type { IpcMainInvokeEvent, WebContents, WebFrameMain } from 'electron';
import { expect, test } from 'vitest';
import type { CoreClient } from '../../src/contract/client.ts';
import { bridge, isOurPage, type ShellHandlers } from '../../src/shell/bridge.ts';
import { chosenPaths } from '../../src/shell/chosen-paths.ts';

const ourUrl = 'faderwright://window/index.html';
const frameOf = (url: string, parent: WebFrameMain | null = null): WebFrameMain => ({ url, parent }) as WebFrameMain;
const contentsOf = (mainFrame: WebFrameMain): WebContents => ({ mainFrame }) as WebContents;

const topFrame = frameOf(ourUrl);
const ourContents = contentsOf(topFrame);
const from = (sender: WebContents, senderFrame: WebFrameMain | null) => ({ sender, senderFrame }) as IpcMainInvokeEvent;

test('our own top frame may ask', () => {
  expect(isOurPage(from(ourContents, topFrame), ourContents)).toBe(true);
});

test.each<[string, IpcMainInvokeEvent]>([
  ['a frame inside our page', from(ourContents, frameOf(ourUrl, topFrame))],
  ['another window with our page', from(contentsOf(frameOf(ourUrl)), frameOf(ourUrl))],
  ['a frame that is gone', from(ourContents, null)],
])('%s may not ask', (_who, event) => {
  expect(isOurPage(event, ourContents)).toBe(false);
});

test.each([
  'https://window/index.html',
  'faderwright://window.example/index.html',
  'faderwright://windows/index.html',
  'faderwright:window/index.html',
  'data:text/html,faderwright://window/',
  'about:blank',
  '',
])('our window led to %s may not ask', (url) => {
  const frame = frameOf(url);
  const contents = contentsOf(frame);
  expect(isOurPage(from(contents, frame), contents)).toBe(false);
});

test('nobody may ask while there is no window', () => {
  expect(isOurPage(from(ourContents, topFrame), null)).toBe(false);
});

type Handler = (event: IpcMainInvokeEvent, name: unknown, input: unknown) => Promise<unknown>;

function bench() {
  const handlers = new Map<string, Handler>();
  const calls: unknown[] = [];
  const watched: unknown[] = [];
  const client = {
    call(name: string, input: unknown) {
      calls.push([name, input]);
      return Promise.resolve({});
    },
  } as unknown as CoreClient;
  bridge({
    ipcMain: { handle: (channel, handler) => void handlers.set(channel, handler as Handler) },
    contents: () => ourContents,
    client: () => Promise.resolve(client),
    shell: { 'jog.held': () => ({}) } as unknown as ShellHandlers,
    paths: chosenPaths(['/chosen.csv']),
    watchHold(creep) {
      watched.push(creep);
      return creep;
    },
    log: () => {},
  });
  const ask = (channel: string, event: IpcMainInvokeEvent, name: unknown, input: unknown): Promise<unknown> =>
    handlers.get(channel)?.(event, name, input) ?? Promise.reject(new Error('no such channel'));
  return { ask, calls, watched, ours: from(ourContents, topFrame) };
}

test('only the two channels of the contract are open', async () => {
  const { ask, ours } = bench();
  await expect(ask('eval', ours, 'x', {})).rejects.toThrow('no such channel');
  expect(await ask('shell', ours, 'jog.held', {})).toEqual({ ok: true, output: {} });
});

test('a stranger’s call reaches nothing', async () => {
  const { ask, calls } = bench();
  const stranger = from(contentsOf(frameOf(ourUrl)), frameOf(ourUrl));
  expect(await ask('core', stranger, 'snapshot', {})).toMatchObject({ ok: false, error: { code: 'contract.shape' } });
  expect(calls).toEqual([]);
});

test('what the contract does not know of is dropped before the core sees it', async () => {
  const { ask, calls, ours } = bench();
  await ask('core', ours, 'rig.connect', { path: '/dev/ttyUSB0', speed: 'more' });
  expect(calls).toEqual([['rig.connect', { path: '/dev/ttyUSB0' }]]);
});

test('a file is written only where a person chose', async () => {
  const { ask, calls, ours } = bench();
  const order = { query: {}, what: 'runs' };
  expect(await ask('core', ours, 'export.write', { ...order, path: '/home/.profile' })).toMatchObject({
    ok: false,
    error: { code: 'file.notChosen' },
  });
  expect(calls).toEqual([]);
  expect(await ask('core', ours, 'export.write', { ...order, path: '/chosen.csv' })).toMatchObject({ ok: true });
});

test('a creep is watched, other commands are not', async () => {
  const { ask, watched, ours } = bench();
  await ask('core', ours, 'rig.read', {});
  expect(watched).toHaveLength(0);
  await ask('core', ours, 'rig.creep', { targetMm: 10, speedMmPerS: 5 });
  expect(watched).toHaveLength(1);
});
