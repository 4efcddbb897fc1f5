import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { cacheFolder } from '../../../src/shell/setup/cache-folder.ts';
import { isWholeFallback } from '../../../src/shell/setup/fallback-runtime.ts';
import { fileIntegrity } from '../../../src/shell/setup/npm-package.ts';
import { findElectronRuntime } from '../../../src/shell/setup/runtime.ts';
import { serialPermission } from '../../../src/shell/setup/serial-permission.ts';
import { runSteps } from '../../../src/shell/setup/step.ts';
import { runTool } from '../../../src/shell/setup/tool.ts';
import { missingNeeds } from '../../../src/shell/setup/window-needs.ts';

const freshFolder = () => mkdtempSync(join(tmpdir(), 'setup-'));

describe('the steps of the set-up', () => {
  test('go on after one that fails, which is left to do with its reason', async () => {
    const results = await runSteps({
      first: async () => {
        throw new Error('no network');
      },
      second: async () => ({ step: 'second', state: 'ready', text: 'fine' }),
    });
    expect(results).toEqual([
      { step: 'first', state: 'left', text: 'no network' },
      { step: 'second', state: 'ready', text: 'fine' },
    ]);
  });
});

describe('the window runtime', () => {
  test('is not taken for whole without its note, its executable or with another layout', () => {
    const folder = freshFolder();
    writeFileSync(join(folder, 'electron'), '');
    expect(isWholeFallback(folder)).toBe(false);
    writeFileSync(join(folder, 'layout.json'), '{"layoutNumber":');
    expect(isWholeFallback(folder)).toBe(false);
    writeFileSync(join(folder, 'layout.json'), '{"layoutNumber":0,"electronVersion":"33.2.1"}');
    expect(isWholeFallback(folder)).toBe(false);
    writeFileSync(join(folder, 'layout.json'), '{"layoutNumber":1,"electronVersion":"33.2.1"}');
    expect(isWholeFallback(folder)).toBe(true);
  });

  test('may be named by the environment; a name that leads nowhere is refused, not passed over', () => {
    const folder = freshFolder();
    expect(() => findElectronRuntime({ ELECTRON_OVERRIDE_DIST_PATH: folder })).toThrow(folder);
    writeFileSync(join(folder, process.platform === 'win32' ? 'electron.exe' : 'electron'), '');
    writeFileSync(join(folder, 'version'), 'v45.5.0\n');
    const found = findElectronRuntime({ ELECTRON_OVERRIDE_DIST_PATH: folder });
    expect(found).toMatchObject({ distPath: folder, electronVersion: '45.5.0', electronMajor: 45, isFallback: false });
  });

  test('lives in the user’s cache folder, and a relative XDG_CACHE_HOME is ignored', () => {
    expect(cacheFolder({ XDG_CACHE_HOME: '/var/tmp/c' }, 'linux')).toBe('/var/tmp/c/faderwright');
    expect(cacheFolder({ XDG_CACHE_HOME: 'c' }, 'linux')).toMatch(/\.cache\/faderwright$/);
  });

  test('is checked in the registry’s own notation', async () => {
    const file = join(freshFolder(), 'abc');
    writeFileSync(file, 'abc');
    // SHA-512 of "abc", FIPS 180-2 appendix C.1, in base64.
    const known =
      'ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f';
    expect(await fileIntegrity(file)).toBe(`sha512-${Buffer.from(known, 'hex').toString('base64')}`);
  });
});

describe.skipIf(process.platform !== 'linux')('what a Linux system lacks', () => {
  test('is found by what is there, not by package names', async () => {
    const missing = await missingNeeds('/nowhere');
    expect(missing.map(({ name }) => name)).toEqual(expect.arrayContaining(['Xvfb', 'xauth']));
  });

  test('serial ports: membership of the owning group decides while none is plugged in', () => {
    const folder = freshFolder();
    const deviceFolder = join(folder, 'dev');
    mkdirSync(deviceFolder);
    const groupFile = join(folder, 'group');
    writeFileSync(groupFile, 'root:x:0:\ndialout:x:20:kt\n');
    expect(serialPermission({ deviceFolder, groupFile, groupIds: [100] })).toEqual({
      isGranted: false,
      group: 'dialout',
      refusedPorts: [],
    });
    expect(serialPermission({ deviceFolder, groupFile, groupIds: [20] }).isGranted).toBe(true);
    writeFileSync(groupFile, 'root:x:0:\nuucp:x:14:\n');
    expect(serialPermission({ deviceFolder, groupFile, groupIds: [100] }).group).toBe('uucp');
  });

  test('a program that fails says so in its own words; one that hangs is ended', async () => {
    await expect(runTool('sh', ['-c', 'echo no room >&2; exit 3'])).rejects.toThrow(/ended with code 3: no room/);
    await expect(runTool('sleep', ['60'], { limitMs: 50 })).rejects.toThrow(/was ended by SIGKILL/);
    await expect(runTool('no-such-program', [])).rejects.toMatchObject({ code: 'TOOL_FAILED', userFixable: true });
  });
});
