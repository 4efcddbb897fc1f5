import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import Database from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import { ArchiveBusyError } from '../../src/archive/errors.ts';
import { exampleRun } from './example-runs.ts';
import { filled, opened, thrownBy } from './places.ts';

function recorder(path: string, first: number): ChildProcess {
  const child = spawn(process.execPath, [join(import.meta.dirname, 'recording-child.ts'), path, String(first)], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  onTestFinished(() => {
    child.kill('SIGKILL');
  });
  return child;
}

/** Kills the recorder after it acknowledged `count` runs; returns all it acknowledged, the last ones after the order to kill. */
async function killedAfter(child: ChildProcess, count: number): Promise<string[]> {
  if (child.stdout === null) throw new Error('the child has no output');
  const acknowledged: string[] = [];
  for await (const line of createInterface({ input: child.stdout })) {
    acknowledged.push(line);
    if (acknowledged.length === count) child.kill('SIGKILL');
  }
  if (child.exitCode === null && child.signalCode === null) await once(child, 'exit');
  expect(child.signalCode).toBe('SIGKILL');
  return acknowledged;
}

describe('a station killed while recording', () => {
  test('loses no acknowledged run and leaves none half there', async () => {
    const path = filled().path;
    const acknowledged: string[] = [];
    let next = 0;
    for (const count of [1, 2, 7, 23, 60]) {
      acknowledged.push(...(await killedAfter(recorder(path, next), count)));
      const archive = opened(path, { integrity: 'full' });
      const recorded = archive.findRuns({ limit: 1000 }).map((run) => run.runId);
      expect(acknowledged.filter((runId) => !recorded.includes(runId))).toEqual([]);
      // At most the one whose acknowledgement the kill cut off came on top.
      for (const runId of recorded) {
        const number = Number(runId.slice(-12));
        expect(archive.run(runId)).toStrictEqual(exampleRun(number));
        next = Math.max(next, number + 1);
      }
      // Begun but not recorded: known, so that the station can record it as interrupted.
      const unfinished = archive.unfinished();
      for (const opening of unfinished) {
        expect(recorded).not.toContain(opening.runId);
        next = Math.max(next, Number(opening.runId.slice(-12)) + 1);
      }
      archive.close();
    }
    expect(acknowledged.length).toBeGreaterThanOrEqual(93);
  }, 60_000);
});

describe('two programs on one archive', () => {
  test('a reader sees whole runs only while another process records', async () => {
    const path = filled().path;
    const child = recorder(path, 0);
    const ended = killedAfter(child, 150);
    const reader = new Database(path, { readonly: true });
    const halfRuns = reader
      .prepare<[], number>(
        `SELECT count(*) FROM runs r LEFT JOIN measurements m USING (run_no)
         WHERE m.run_no IS NULL OR length(m.readings) <> 46 * 95 OR length(m.points) <> 21 * 76
           OR length(m.samples) <> 2 * 60 * 20`,
      )
      .pluck();
    const runs = reader.prepare<[], number>('SELECT count(*) FROM runs').pluck();
    const counts: number[] = [];
    while (child.exitCode === null && child.signalCode === null) {
      expect(halfRuns.get()).toBe(0);
      counts.push(runs.get() ?? -1);
      await new Promise((done) => setImmediate(done));
    }
    reader.close();
    const acknowledged = await ended;
    expect(counts).toEqual([...counts].sort((a, b) => a - b));
    expect(opened(path).countRuns()).toBeGreaterThanOrEqual(acknowledged.length);
  }, 60_000);

  test('both may record; runs of both are there', async () => {
    const archive = filled();
    const ended = killedAfter(recorder(archive.path, 1000), 40);
    for (let i = 0; i < 40; i += 1) {
      archive.recordRun(exampleRun(i));
      await new Promise((done) => setImmediate(done));
    }
    const acknowledged = await ended;
    for (const runId of acknowledged) expect(archive.run(runId)).not.toBeNull();
    expect(archive.countRuns({ to: exampleRun(500).startedAt })).toBe(40);
    expect(archive.checkIntegrity('full').findings).toEqual([]);
  }, 60_000);

  test('only one of them is the station', () => {
    const first = filled();
    first.claimStation();
    first.claimStation();
    const second = opened(first.path);
    expect(thrownBy(() => second.claimStation())).toBeInstanceOf(ArchiveBusyError);
    first.close();
    second.claimStation();
  });
});
