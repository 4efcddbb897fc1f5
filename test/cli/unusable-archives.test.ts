/** A database that cannot be used: which, why, what to do, exit code 4, and not a byte of it changed. */
import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { launchCore } from '../../src/core/launch.ts';
import { awkwardFolder, removeFolder, words } from './run-words.ts';

const folder = awkwardFolder();
const sound = join(folder, 'sound.sqlite');
afterAll(() => removeFolder(folder));

beforeAll(async () => {
  const core = launchCore({ archivePath: sound });
  await core.client.ready;
  await core.stop();
});

function spoilt(name: string, spoil: (path: string) => void): string {
  const path = join(folder, name);
  copyFileSync(sound, path);
  spoil(path);
  return path;
}

const inDatabase =
  (act: (database: Database.Database) => void) =>
  (path: string): void => {
    const database = new Database(path);
    act(database);
    database.close();
  };

const kinds: readonly [string, string, (path: string) => void, RegExp][] = [
  ['a newer one', 'archiveNewer', inDatabase((db) => db.pragma('user_version = 99')), /Start the newer program/],
  ['a damaged one', 'archiveDamaged', damage, /is damaged.*restore the latest backup/],
  ['one without its guards', 'archiveDamaged', inDatabase(dropGuard), /is damaged/],
  ['an empty file', 'archiveDamaged', (path) => writeFileSync(path, ''), /the file is empty/],
  ['a text', 'notAnArchive', (path) => writeFileSync(path, 'serial;verdict\n'.repeat(900)), /Choose another file/],
  [
    "another program's database",
    'notAnArchive',
    inDatabase((db) => db.pragma('application_id = 7')),
    /another program's/,
  ],
];

describe('an archive that is', () => {
  it.each(kinds)('%s', async (name, errorCode, spoil, says) => {
    const path = spoilt(`${name.replaceAll(' ', '-')}.sqlite`, spoil);
    const before = readFileSync(path);
    const { code, out } = await words(['--archive', path, '--json', 'fader', 'PF104-26-48-00001']);
    const { error } = JSON.parse(out) as { error: { code: string; message: string } };
    expect(error.code).toBe(errorCode);
    expect(error.message).toMatch(says);
    expect(error.message).toContain(path);
    expect(code).toBe(4);
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  it('a folder, or in a place that cannot be', async () => {
    mkdirSync(join(folder, 'sub'));
    const through = join(sound, 'x.sqlite');
    for (const [path, says] of [
      [join(folder, 'sub'), /it is not a file/],
      [through, /Cannot make the folder.*Give another place with --archive/],
      // Every attempt is answered with "no such folder", for ever.
      ['/proc/faderwright/x.sqlite', /Cannot make the folder/],
    ] as const) {
      const { code, err, out } = await words(['--archive', path, 'law', 'list']);
      expect({ code, out }).toEqual({ code: 4, out: '' });
      expect(err).toMatch(says);
    }
  });

  it('in use by another station, for a word that measures', async () => {
    const other = launchCore({ archivePath: sound });
    try {
      await other.client.ready;
      const { code, err } = await words(['--archive', sound, 'measure', '--virtual', '--operator', 'KD']);
      expect(code).toBe(4);
      expect(err).toMatch(/in use by another program \(another station.*Close the other program/);
    } finally {
      await other.stop();
    }
  });
});

it('the doctor is not stopped by it: everything else is looked at', async () => {
  const path = spoilt(
    'for-the-doctor.sqlite',
    inDatabase((db) => db.pragma('user_version = 99')),
  );
  const { code, out, err } = await words(['--archive', path, 'doctor']);
  expect(err).toBe('');
  expect(out).toMatch(/■ bad +database .*for-the-doctor\.sqlite cannot be opened\.\n +do: .*Start the newer program/);
  expect(out).toMatch(/runtime .*Node/);
  expect(out).toMatch(/ports/);
  expect(out).toMatch(/virtual rig/);
  expect(code).toBe(4);
});

function damage(path: string): void {
  const bytes = readFileSync(path);
  bytes.fill(0x5a, 4096 * 2);
  writeFileSync(path, bytes);
}

function dropGuard(database: Database.Database): void {
  const name = database.prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger' LIMIT 1").pluck().get();
  database.exec(`DROP TRIGGER "${String(name)}"`);
}
