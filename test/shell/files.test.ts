import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { inTurn } from '../../src/shell/build/turn.ts';
import { chosenPaths, PathNotChosenError } from '../../src/shell/chosen-paths.ts';
import { largestLogBytes, openLog } from '../../src/shell/log-file.ts';
import { archivePlace, places, userFolder } from '../../src/shell/places.ts';
import { readWindowState, writeWindowState } from '../../src/shell/window-state.ts';

let folder = '';
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'faderwright-shell-'));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

const at = (second: number) => () => new Date(Date.UTC(2026, 10, 25, 10, 0, second));
const screens = [{ x: 0, y: 0, width: 1920, height: 1080 }];
const place = { x: 40, y: 30, width: 1280, height: 800, maximized: false };

test('the window comes back where it was', () => {
  const path = join(folder, 'deep', 'window.json');
  writeWindowState(path, place);
  expect(readWindowState(path, screens)).toEqual(place);
  expect(readdirSync(join(folder, 'deep'))).toEqual(['window.json']);
});

test.each<[string, string]>([
  ['on a screen that is gone', JSON.stringify({ ...place, x: 5_000 })],
  ['above every screen', JSON.stringify({ ...place, y: -900 })],
  ['too small to use', JSON.stringify({ ...place, width: 10 })],
  ['cut short', '{"x": 40, "y"'],
  ['of another kind', '[1, 2]'],
])('a kept place %s is forgotten', (_what, text) => {
  const path = join(folder, 'window.json');
  writeFileSync(path, text);
  expect(readWindowState(path, screens)).toBeNull();
});

test('each start has its own log, and only the newest ten are kept', () => {
  for (let second = 0; second < 13; second += 1) openLog(folder, at(second)).write('shell', `start ${second}`);
  const names = readdirSync(folder).sort();
  expect(names).toHaveLength(10);
  expect(readFileSync(join(folder, names.at(-1) ?? ''), 'utf8')).toContain('start 12');
});

test('a log entry of several lines cannot be taken for several entries', () => {
  const log = openLog(folder, at(0));
  log.write('core', 'first\n2026-11-25T10:00:00.000Z shell: forged');
  const [name = ''] = readdirSync(folder);
  expect(
    readFileSync(join(folder, name), 'utf8')
      .split('\n')
      .filter((line) => /^\d{4}-/.test(line)),
  ).toHaveLength(1);
});

test('a log stops growing when it is too large to send, and says so', () => {
  const log = openLog(folder, at(0));
  for (let i = 0; i < 7; i += 1) log.write('core', 'x'.repeat(largestLogBytes / 5));
  const [name = ''] = readdirSync(folder);
  const text = readFileSync(join(folder, name), 'utf8');
  expect(text.length).toBeLessThan(largestLogBytes * 1.3);
  expect(text).toContain('is not logged');
});

test('a log that cannot be written takes nothing down with it', async () => {
  const log = openLog(join(folder, 'logs'), at(0));
  await rm(join(folder, 'logs'), { recursive: true });
  expect(() => log.write('shell', 'words for a terminal that looks')).not.toThrow();
});

test('only chosen files may be used, by whatever spelling', () => {
  const paths = chosenPaths([join(folder, 'bench.sqlite')]);
  paths.choose(join(folder, 'a', '..', 'report.html'));
  paths.mustBeChosen(join(folder, 'report.html'));
  paths.mustBeChosen(join(folder, 'bench.sqlite'));
  for (const other of ['report.htm', 'report.html/x', '..'])
    expect(() => paths.mustBeChosen(join(folder, other))).toThrow(PathNotChosenError);
});

test('the archive is the command line’s own unless another is named', () => {
  expect(archivePlace({ FADERWRIGHT_ARCHIVE: '/x/y.sqlite' }, '/own')).toBe('/x/y.sqlite');
  expect(archivePlace({}, '/own')).toBe(join('/own', 'bench.sqlite'));
  expect(archivePlace({}, null)).toMatch(/bench\.sqlite$/);
  expect(userFolder({ FADERWRIGHT_FOLDER: 'relative' })).toBeNull();
  expect(userFolder({ FADERWRIGHT_FOLDER: folder })).toBe(folder);
});

test('a packed app runs its core inside Electron, or in the Node it carries where Electron is too old', () => {
  const facts = { isPackaged: true, appPath: join(folder, 'app.asar'), resourcesPath: folder, napi: 10 };
  expect(places(facts).coreNode).toBeNull();
  expect(places({ ...facts, napi: 9 }).coreNode).toBeNull();
  writeFileSync(join(folder, process.platform === 'win32' ? 'node.exe' : 'node'), '');
  expect(places({ ...facts, napi: 9 }).coreNode).toContain(folder);
  expect(places(facts).coreNode).toBeNull();
  expect(places({ ...facts, isPackaged: false, appPath: folder }).coreNode).toContain('node_modules');
});

test('two builds take turns', async () => {
  const note = join(folder, 'out', '.building');
  const order: string[] = [];
  let letFirstEnd: () => void = () => {};
  const first = inTurn(note, async () => {
    order.push('first begins');
    await new Promise<void>((resolve) => {
      letFirstEnd = resolve;
    });
    order.push('first ends');
  });
  const second = inTurn(note, async () => void order.push('second begins'));
  await new Promise((resolve) => setImmediate(resolve));
  letFirstEnd();
  await Promise.all([first, second]);
  expect(order).toEqual(['first begins', 'first ends', 'second begins']);
});

test('a turn left behind by a killed build is taken over', async () => {
  mkdirSync(join(folder, 'out'));
  // No process has this number: the largest that Linux gives out is 4194304.
  writeFileSync(join(folder, 'out', '.building'), '99999999');
  expect(await inTurn(join(folder, 'out', '.building'), async () => 'built')).toBe('built');
});
