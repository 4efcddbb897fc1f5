/** A real core process, killed without warning at random moments of a batch: what was acknowledged must be there. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { openArchive } from '../../src/archive/open.ts';
import type { RunSummary } from '../../src/contract/records.ts';
import { launchCore } from '../../src/core/launch.ts';
import { Random } from '../../src/fader/random.ts';

const kills = 50;
const seed = 20261125;
const folder = mkdtempSync(join(tmpdir(), 'faderwright-killed-'));
const archivePath = join(folder, 'bench.sqlite');
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** When to kill: so many milliseconds after so many runs were called recorded. */
interface KillMoment {
  readonly recorded: number;
  readonly afterMs: number;
}

/** Measures until it is killed; gives the runs that were called recorded. */
async function measureUntilKilled({ recorded, afterMs }: KillMoment): Promise<RunSummary[]> {
  const acknowledged: RunSummary[] = [];
  const core = launchCore({ archivePath });
  const { client } = core;
  const killWhenDue = (): void => {
    if (acknowledged.length === recorded) setTimeout(() => core.process.kill('SIGKILL'), afterMs);
  };
  client.onEvent((event) => {
    if (event.kind !== 'recorded') return;
    acknowledged.push(event.summary);
    killWhenDue();
  });
  const gone = new Promise<void>((resolve) => core.process.once('exit', () => resolve()));
  await client.ready;
  const { serials } = await client.call('virtual.start', {
    seed,
    size: 40,
    lawId: 'PF-104',
    finish: 'delivered',
    faultShare: 0.2,
    timeFactor: 400,
  });
  killWhenDue();
  const batch = async (): Promise<void> => {
    for (const serial of serials) {
      const { runId } = await client.call('run.start', {
        serial,
        operator: 'KD',
        lawId: 'PF-104',
        batch: 'K',
        job: 'measure',
      });
      await client.call('run.wait', { runId });
    }
  };
  await Promise.race([gone, batch().catch(() => gone)]);
  await gone;
  return acknowledged;
}

describe(`the core killed at ${kills} random moments of a batch (seed ${seed})`, () => {
  it('loses no acknowledged run, leaves none half, and the archive stays whole', { timeout: 400_000 }, async () => {
    const random = new Random(seed).sub('kill moments');
    const acknowledged: RunSummary[] = [];
    for (let kill = 0; kill < kills; kill += 1) {
      acknowledged.push(
        ...(await measureUntilKilled({ recorded: random.integer(0, 2), afterMs: random.uniform(0, 250) })),
      );
    }
    expect(acknowledged.length).toBeGreaterThanOrEqual(kills / 2);

    // The next start puts every interrupted run on record as void.
    const last = launchCore({ archivePath });
    await last.client.ready;
    await last.stop();

    const archive = openArchive(archivePath, { programVersion: 'test', now: () => new Date() });
    try {
      expect(archive.checkIntegrity('full').findings).toEqual([]);
      expect(archive.unfinished()).toEqual([]);
      for (const { isVirtual, ...summary } of acknowledged) {
        expect(isVirtual).toBe(true);
        const run = archive.run(summary.runId);
        expect(run).toMatchObject(summary);
        // Two directions at each of 21 points, closed, open and total resistance; lone points are looked at again.
        expect(run?.readings.length).toBeGreaterThanOrEqual(45);
        expect(run?.points).toHaveLength(21);
      }
      const total = archive.countRuns();
      const interrupted = archive.findRuns({ verdict: 'void', limit: 1000 });
      expect(interrupted.length).toBeGreaterThan(0);
      expect(total).toBe(
        new Set([...acknowledged, ...interrupted].map(({ runId }) => runId)).size +
          unacknowledged(archive, acknowledged),
      );
    } finally {
      archive.close();
    }
  });
});

/** Runs on disk, whole, whose acknowledgement the kill cut off. */
function unacknowledged(archive: ReturnType<typeof openArchive>, acknowledged: readonly RunSummary[]): number {
  const told = new Set(acknowledged.map(({ runId }) => runId));
  return archive.findRuns({ limit: 1000 }).filter(({ runId, verdict }) => verdict !== 'void' && !told.has(runId))
    .length;
}
