import { existsSync, mkdirSync, mkdtempSync, readdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { prepareFolder } from '../../../src/shell/setup/prepared-folder.ts';

const isWhole = (folder: string) => existsSync(join(folder, 'whole'));
const makeWhole = async (folder: string) => writeFileSync(join(folder, 'whole'), '');

describe('a folder that is prepared once', () => {
  let parent = '';
  let folder = '';
  beforeEach(() => {
    parent = mkdtempSync(join(tmpdir(), 'prepared-'));
    folder = join(parent, 'cache', 'runtime');
  });

  test('is made, and not made a second time', async () => {
    let makings = 0;
    const make = async (beside: string) => {
      makings += 1;
      await makeWhole(beside);
    };
    await prepareFolder(folder, isWhole, make);
    await prepareFolder(folder, isWhole, make);
    expect(makings).toBe(1);
    expect(readdirSync(join(parent, 'cache'))).toEqual(['runtime']);
  });

  test('is absent, and nothing is left beside it, when the making fails half-way', async () => {
    const half = prepareFolder(folder, isWhole, async (beside) => {
      writeFileSync(join(beside, 'half'), '');
      throw new Error('disk full');
    });
    await expect(half).rejects.toThrow('disk full');
    expect(readdirSync(join(parent, 'cache'))).toEqual([]);
  });

  test('replaces what an older program or a crash left under its name', async () => {
    mkdirSync(folder, { recursive: true });
    writeFileSync(join(folder, 'old'), '');
    await prepareFolder(folder, isWhole, makeWhole);
    expect(readdirSync(folder)).toEqual(['whole']);
  });

  test('sweeps away what a killed maker left, but not what a living one is making', async () => {
    const living = `runtime.making-${process.ppid}`;
    mkdirSync(join(parent, 'cache', 'runtime.making-999999999'), { recursive: true });
    mkdirSync(join(parent, 'cache', living));
    await prepareFolder(folder, isWhole, makeWhole);
    expect(readdirSync(join(parent, 'cache')).sort()).toEqual(['runtime', living]);
  });

  test('keeps the folder of whoever finished first', async () => {
    await prepareFolder(folder, isWhole, async (beside) => {
      mkdirSync(folder, { recursive: true });
      writeFileSync(join(folder, 'whole'), '');
      writeFileSync(join(folder, 'first'), '');
      await makeWhole(beside);
    });
    expect(readdirSync(folder).sort()).toEqual(['first', 'whole']);
  });
});
