/** `faderwright` as npm links it: also where the system's Node is too old to read the program. */
import { spawnSync } from 'node:child_process';
import { accessSync, constants, existsSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { awkwardFolder, checkout, removeFolder, startWords, words } from './run-words.ts';

const folder = awkwardFolder();
afterAll(() => removeFolder(folder));
const wrapper = join(checkout, 'src', 'cli', 'faderwright.mjs');
const packageJson = JSON.parse(readFileSync(join(checkout, 'package.json'), 'utf8')) as {
  bin: Record<string, string>;
  version: string;
};

/** An older Node of the system, if it has one: the project's own is always new. */
const oldNode = ['/usr/bin/node', '/usr/local/bin/node'].find(
  (path) => existsSync(path) && /^v(1\d|20)\./.test(spawnSync(path, ['--version'], { encoding: 'utf8' }).stdout),
);

describe('the command that npm links', () => {
  it('is the wrapper, which any shell can start', () => {
    const linked = join(checkout, packageJson.bin.faderwright ?? '');
    expect(linked).toBe(wrapper);
    expect(readFileSync(linked, 'utf8')).toMatch(/^#!\/usr\/bin\/env node\n/);
    accessSync(linked, constants.X_OK);
    expect(statSync(linked).size).toBeLessThan(4_000);
  });

  it("runs on the project's own Node", async () => {
    const { code, out, err } = await words(['--version'], { command: [process.execPath, wrapper] });
    expect({ code, out, err }).toEqual({ code: 0, out: `${packageJson.version}\n`, err: '' });
  });

  it.runIf(oldNode !== undefined)('hands over from an older Node, words, input and exit code alike', async () => {
    const command = [oldNode ?? '', wrapper];
    expect(await words(['--version'], { command })).toMatchObject({ code: 0, out: `${packageJson.version}\n` });
    expect(await words(['eat it'], { command })).toMatchObject({ code: 2, err: expect.stringMatching(/eat it/) });
  });

  it.runIf(oldNode !== undefined)('passes an interruption on and waits for the end', async () => {
    const command = [oldNode ?? '', wrapper];
    const archive = join(folder, 'bench.sqlite');
    const run = startWords(['--archive', archive, 'measure', '--virtual', '--operator', 'KD'], {
      command,
      typed: null,
    });
    await run.said(/An empty line ends/);
    run.child.kill('SIGINT');
    expect((await run.ended).code).toBe(130);
  });
});
