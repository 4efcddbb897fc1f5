import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { diskWords, makeFolder } from '../../src/station/disk.ts';
import { replaceFile, writeNewFile } from '../../src/station/file-output.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'faderwright-files-'));
  const own = folder;
  onTestFinished(() => rmSync(own, { recursive: true, force: true }));
});

async function* chunks(...texts: readonly string[]): AsyncGenerator<string> {
  for (const text of texts) yield text;
}

describe('a new file', () => {
  it('is whole, with every folder above it, and counted in bytes', async () => {
    const path = join(folder, 'für', 'das Büro', 'läufe.csv');
    expect(await writeNewFile(path, chunks('größe\n', '', '1 µm\n'))).toBe(14);
    expect(readFileSync(path, 'utf8')).toBe('größe\n1 µm\n');
    expect(readdirSync(join(folder, 'für', 'das Büro'))).toEqual(['läufe.csv']);
  });

  it('may be empty', async () => {
    expect(await writeNewFile(join(folder, 'empty'), chunks())).toBe(0);
    expect(readFileSync(join(folder, 'empty'), 'utf8')).toBe('');
  });

  it('never takes the place of one that is there, not even of one that came meanwhile', async () => {
    const path = join(folder, 'x.csv');
    writeFileSync(path, 'before');
    await expect(writeNewFile(path, chunks('after'))).rejects.toMatchObject({ code: 'request.fileExists' });
    const late = join(folder, 'late.csv');
    const source = (async function* () {
      yield 'mine';
      writeFileSync(late, 'theirs');
      yield 'mine';
    })();
    await expect(writeNewFile(late, source)).rejects.toMatchObject({ code: 'request.fileExists' });
    expect([readFileSync(path, 'utf8'), readFileSync(late, 'utf8')]).toEqual(['before', 'theirs']);
    expect(readdirSync(folder).toSorted()).toEqual(['late.csv', 'x.csv']);
  });

  it('asked for twice at once is written once', async () => {
    const path = join(folder, 'x.csv');
    const results = await Promise.allSettled([
      writeNewFile(path, chunks('first', ' and whole')),
      writeNewFile(path, chunks('second', ' and whole')),
    ]);
    expect(results.filter(({ status }) => status === 'fulfilled')).toHaveLength(1);
    expect(readFileSync(path, 'utf8')).toMatch(/^(first|second) and whole$/);
    expect(readdirSync(folder)).toEqual(['x.csv']);
  });

  it('is not there when its source fails, and the source is what is told', async () => {
    const path = join(folder, 'x.csv');
    const failure = new RangeError('the source is spoilt');
    const source = (async function* () {
      yield 'half';
      throw failure;
    })();
    await expect(writeNewFile(path, source)).rejects.toBe(failure);
    expect(readdirSync(folder)).toEqual([]);
  });

  it('that cannot be written names itself and the reason in words', async () => {
    writeFileSync(join(folder, 'plain'), '');
    const refused = async (path: string): Promise<string> => {
      const error: unknown = await writeNewFile(path, chunks('x')).catch((caught: unknown) => caught);
      expect(error).toMatchObject({ code: 'request.fileUnwritable', userFixable: true });
      return (error as Error).message;
    };
    expect(await refused(join(folder, 'plain', 'x.csv'))).toMatch(/plain\/x\.csv: .*(file|name).*Give another place/);
    expect(await refused(join(folder, `${'x'.repeat(300)}.csv`))).toMatch(/the name is too long/);
    expect(await refused('/proc/faderwright/x.csv')).toMatch(/there is no such file or folder/);
  });
});

describe('a report made again', () => {
  it('takes the place of the old one in one step', async () => {
    const path = join(folder, 'new', 'report.html');
    await replaceFile(path, 'one');
    await replaceFile(path, 'two');
    expect(readFileSync(path, 'utf8')).toBe('two');
    expect(readdirSync(join(folder, 'new'))).toEqual(['report.html']);
  });

  it('that cannot be written leaves the old one', async () => {
    const path = join(folder, 'report.html');
    await replaceFile(path, 'one');
    await expect(replaceFile(join(path, 'x.html'), 'two')).rejects.toMatchObject({ code: 'request.fileUnwritable' });
    expect(readFileSync(path, 'utf8')).toBe('one');
  });
});

describe('a folder', () => {
  it('is made with those above it, once', () => {
    makeFolder(join(folder, 'a', 'b', 'c'));
    makeFolder(join(folder, 'a', 'b', 'c'));
    expect(existsSync(join(folder, 'a', 'b', 'c'))).toBe(true);
    makeFolder('/');
  });

  it('is refused, not waited for, where none can be', () => {
    writeFileSync(join(folder, 'plain'), '');
    symlinkSync(join(folder, 'nowhere'), join(folder, 'dangling'));
    for (const path of [join(folder, 'plain'), join(folder, 'plain', 'x'), join(folder, 'dangling'), '/proc/none/x']) {
      expect(() => makeFolder(path)).toThrow(/E[A-Z]+/);
    }
  });
});

it('what the system says is said in words, and what is not known as it came', () => {
  expect(diskWords(Object.assign(new Error('x'), { code: 'ENOSPC' }))).toBe('the disk is full');
  expect(diskWords(new Error('the printer is on fire'))).toBe('the printer is on fire');
  expect(diskWords('odd')).toBe('odd');
});
