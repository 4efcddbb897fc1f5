import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { PackageRefusedError, packagePlan } from '../../src/shell/build/package.ts';
import { electronEnv, type StartFacts, startRefusal } from '../../src/shell/build/start.ts';

const desk: StartFacts = {
  platform: 'linux',
  env: { DISPLAY: ':0' },
  words: [],
  isRoot: false,
  mayMakeNamespaces: true,
};

test('a desk with a display may start', () => {
  expect(startRefusal(desk)).toBeNull();
  expect(startRefusal({ ...desk, env: { WAYLAND_DISPLAY: 'wayland-0' } })).toBeNull();
  expect(startRefusal({ ...desk, platform: 'darwin', env: {}, isRoot: true })).toBeNull();
});

test('without a display both ways on are named', () => {
  expect(startRefusal({ ...desk, env: {} })).toMatch(/desktop session.*xvfb-run -a npm start/);
});

test('root and a system without name spaces are told what to do, and are not given a window without a sandbox', () => {
  expect(startRefusal({ ...desk, isRoot: true })).toMatch(/ordinary user/);
  expect(startRefusal({ ...desk, mayMakeNamespaces: false })).toMatch(/administrator/);
  expect(startRefusal({ ...desk, isRoot: true, words: ['--no-sandbox'] })).toBeNull();
});

test('the window is never started as a plain Node by a variable left over', () => {
  expect(electronEnv({ ELECTRON_RUN_AS_NODE: '1', NODE_OPTIONS: '-r x', HOME: '/h' })).toEqual({ HOME: '/h' });
});

const own = { isFallback: false, distPath: '/electron', electronVersion: '45.5.0' };
const old = { isFallback: true, distPath: '/old', electronVersion: '33.2.1' };
const facts = { platform: 'linux' as const, checkout: '/bench', configurationFile: '/bench/out/c.json' };

test('without words a folder for this system is packed, with the fuses of electron-builder.yml', () => {
  const { words, configuration } = packagePlan([], own, facts);
  expect(words.slice(0, 2)).toEqual(['--linux', 'dir']);
  expect(configuration).toMatchObject({ electronDist: '/electron', electronVersion: '45.5.0' });
  expect(configuration).not.toHaveProperty('electronFuses');
  expect(configuration).not.toHaveProperty('extraResources');
});

test.each([[['--linux']], [['--linux', 'AppImage', 'deb']], [['--linux', 'dir', 'AppImage']], [['--win', 'nsis']]])(
  'nothing for users is made of the fallback runtime: %s',
  (words) => {
    expect(() => packagePlan(words, old, facts)).toThrow(PackageRefusedError);
    expect(packagePlan(words, own, facts).words).toEqual(expect.arrayContaining(words));
  },
);

test('the fallback runtime makes a folder that carries a Node for the core', () => {
  expect(packagePlan([], old, facts).configuration).toMatchObject({ extraResources: [{ to: 'node' }] });
});

test('only a folder for tests is left open to inspection, and it lies elsewhere', () => {
  const forTests = packagePlan(['--for-tests'], own, facts);
  expect(forTests.configuration).toMatchObject({ electronFuses: null });
  expect(forTests.output).not.toBe(packagePlan([], own, facts).output);
});

test('electron-builder.yml names the real targets', () => {
  const text = readFileSync(join(import.meta.dirname, '../../electron-builder.yml'), 'utf8');
  for (const target of ['AppImage', 'deb', 'nsis', 'dmg']) expect(text).toMatch(new RegExp(`\\b${target}\\b`));
});

test('the program never turns its own sandbox off', () => {
  const files = ['main.ts', 'main-window.ts', 'security.ts', 'core-start.ts', 'build/start.ts'];
  for (const file of files) {
    const text = readFileSync(join(import.meta.dirname, '../../src/shell', file), 'utf8');
    expect(text, file).not.toMatch(/appendSwitch\(\s*'(no-sandbox|disable-web-security|ignore-certificate)/);
    expect(text, file).not.toMatch(/sandbox:\s*false|nodeIntegration:\s*true|contextIsolation:\s*false/);
  }
});
