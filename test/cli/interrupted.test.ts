/** Ctrl-C, a closed terminal, a killed program: the carriage stops, the run is on record, and nothing keeps running. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, describe, expect, it } from 'vitest';
import { openArchive } from '../../src/archive/open.ts';
import type { RunRecord } from '../../src/archive/records.ts';
import { ended, familyOf } from './processes.ts';
import { awkwardFolder, removeFolder, type StartedWords, startWords } from './run-words.ts';

const folder = awkwardFolder();
afterAll(() => removeFolder(folder));
const serial = 'PF104-26-48-00001';
let count = 0;

interface Running {
  readonly run: StartedWords;
  readonly pid: number;
  readonly archivePath: string;
}

/** In real time, so that there is a middle to interrupt; ready when the core has opened the run. */
async function start(extra: readonly string[] = ['--serial', serial], typed?: null): Promise<Running> {
  count += 1;
  const archivePath = join(folder, `${count}.sqlite`);
  const words = ['--archive', archivePath, 'measure', '--virtual', '--operator', 'KD', '--size', '2', ...extra];
  const run = startWords(words, typed === undefined ? {} : { typed });
  if (typed === null) await run.said(/An empty line ends/);
  else await untilBegun(archivePath);
  return { run, pid: run.child.pid ?? 0, archivePath };
}

/** The opening is on disk before the carriage moves. */
async function untilBegun(archivePath: string): Promise<void> {
  for (;;) {
    if (isBegun(archivePath)) return;
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** Only looked at: the archive belongs to the core. */
function isBegun(archivePath: string): boolean {
  if (!existsSync(archivePath)) return false;
  const database = new Database(archivePath, { readonly: true });
  try {
    return Number(database.prepare('SELECT count(*) FROM openings').pluck().get()) > 0;
  } finally {
    database.close();
  }
}

function onlyRun(archivePath: string): RunRecord {
  const archive = openArchive(archivePath, { programVersion: 'test', now: () => new Date() });
  try {
    expect(archive.unfinished()).toEqual([]);
    const [only, ...more] = archive.findRuns({});
    expect(more).toEqual([]);
    const run = archive.run(only?.runId ?? '');
    if (run === null) throw new Error('no run was recorded');
    return run;
  } finally {
    archive.close();
  }
}

describe('Ctrl-C in the middle of a run', () => {
  it.each([
    ['once', 1],
    ['twice for one press, as npm hands it on', 2],
  ])('%s: the run is recorded as stopped', async (_name, presses) => {
    const { run, pid, archivePath } = await start();
    const { core, rig } = familyOf(pid);
    for (let press = 0; press < presses; press += 1) run.child.kill('SIGINT');
    const { code, out, err } = await run.ended;
    expect(code).toBe(130);
    expect(err).toMatch(/Stopping the carriage.*not an emergency stop/);
    expect(out).toMatch(/^VOID {2}PF104-26-48-00001 {2}\[virtual rig\]$/m);
    expect(onlyRun(archivePath)).toMatchObject({ outcome: 'stopped', verdict: 'void', serial });
    await ended(core);
    if (rig !== null) await ended(rig);
  });

  it('reaches the whole group of a terminal: core and rig leave the decision to the command line', async () => {
    const { run, pid, archivePath } = await start();
    const { core, rig } = familyOf(pid);
    for (const member of [rig, core, pid]) if (member !== null) process.kill(member, 'SIGINT');
    expect((await run.ended).code).toBe(130);
    // Not "the line was lost": the rig stood by until the carriage was at rest.
    expect(onlyRun(archivePath)).toMatchObject({ outcome: 'stopped', outcomeReason: 'The operator stopped the run.' });
  });

  it('in JSON still gives what was measured', async () => {
    const { run } = await start(['--serial', serial, '--json']);
    run.child.kill('SIGINT');
    const { code, out } = await run.ended;
    expect(code).toBe(130);
    expect(JSON.parse(out)).toMatchObject([{ summary: { serial, outcome: 'stopped' } }]);
  });
});

it('Ctrl-C while a serial is waited for ends the session', async () => {
  const { run } = await start([], null);
  run.child.kill('SIGINT');
  expect((await run.ended).code).toBe(130);
});

it('a closed terminal stops the run as Ctrl-C does', async () => {
  const { run, archivePath } = await start();
  run.child.kill('SIGHUP');
  expect((await run.ended).code).toBe(130);
  expect(onlyRun(archivePath)).toMatchObject({ outcome: 'stopped' });
});

describe('the command line killed outright', () => {
  it('leaves a core that stops, records and goes, and takes its rig along', async () => {
    const { run, pid, archivePath } = await start();
    const { core, rig } = familyOf(pid);
    run.child.kill('SIGKILL');
    await run.ended;
    await ended(core);
    if (rig !== null) await ended(rig);
    expect(onlyRun(archivePath)).toMatchObject({ outcome: 'stopped', outcomeReason: 'The program was closed.' });
  });
});
