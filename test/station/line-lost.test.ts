import { afterEach, describe, expect, it } from 'vitest';
import type { RigEvent } from '../../src/procedure/rig-port.ts';
import { type InProcessBench, openBench } from './bench-in-process.ts';

const request = { operator: 'KD', lawId: 'PF-104', lawRevision: null, batch: null, job: 'measure' } as const;
const stillWithinUs = 250_000;

let bench: InProcessBench | null = null;
afterEach(async () => {
  await bench?.close();
  bench = null;
});

/** Lets time pass until the carriage is in the middle of a motion. */
async function untilMoving({ clock, rig }: InProcessBench, afterMs: number): Promise<void> {
  await clock.advance(afterMs);
  for (let ms = 0; ms < 20_000; ms += 1) {
    const { moving, speedUmPerS } = rig.sideDoor.moment();
    if (moving && Math.abs(speedUmPerS) > 2_000) return;
    await clock.advance(1);
  }
  throw new Error('the carriage never moved');
}

describe('the cable pulled in mid-move', () => {
  it.each([0, 2_500, 6_000, 11_000])(
    'after %i ms: the carriage stands, the run is void, and the bench goes on',
    async (afterMs) => {
      const events: RigEvent['kind'][] = [];
      bench = await openBench({ seed: 7, size: 3 }, { rigEvent: ({ kind }) => events.push(kind) });
      const { clock, rig, station } = bench;
      const { serial } = rig.sideDoor.load(0);
      const { runId } = station.start({ ...request, serial });
      await untilMoving(bench, afterMs);
      rig.sideDoor.unplug();
      const heardUs = rig.sideDoor.moment().lastLineUs;

      const { summary } = await clock.runUntil(station.wait(runId));
      expect(summary).toMatchObject({ outcome: 'void', verdict: 'void' });
      expect(summary.outcomeReason).toMatch(/line to the rig on \S+ was lost\. Check its cable/i);

      await clock.advance(400);
      const { moving, restUs } = rig.sideDoor.moment();
      expect(moving).toBe(false);
      expect(restUs - heardUs).toBeLessThanOrEqual(stillWithinUs);

      rig.sideDoor.plug();
      await clock.runUntil(station.rigDesk.whenReady(10_000));
      expect(events).toContain('lineLost');
      expect(events).toContain('lineBack');
      const again = await bench.measure(1);
      expect(again.outcome).toBe('completed');
      expect(station.archive.run(runId)?.readings.every((reading) => reading.wiperCounts !== null)).toBe(true);
    },
  );
});

describe('what the operator or the interlocks do in mid-run', () => {
  it('a stop halts the carriage and records the run as stopped, never as passed', async () => {
    bench = await openBench({ seed: 7, size: 1 });
    const { clock, rig, station } = bench;
    const { serial } = rig.sideDoor.load(0);
    const { runId } = station.start({ ...request, serial });
    await untilMoving(bench, 5_000);
    station.stop('The operator stopped the run.');
    const { summary } = await clock.runUntil(station.wait(runId));
    expect(summary).toMatchObject({ outcome: 'stopped', verdict: 'void' });
    expect(rig.sideDoor.moment().moving).toBe(false);
  });

  it('a guard opened in mid-run voids the run with the reason', async () => {
    bench = await openBench({ seed: 7, size: 1 });
    const { clock, rig, station } = bench;
    const { serial } = rig.sideDoor.load(0);
    const { runId } = station.start({ ...request, serial });
    await untilMoving(bench, 5_000);
    rig.sideDoor.setGuard(false);
    const { summary } = await clock.runUntil(station.wait(runId));
    expect(summary).toMatchObject({ outcome: 'void', verdict: 'void' });
    expect(summary.outcomeReason).toMatch(/guard/i);
    expect(rig.sideDoor.moment().moving).toBe(false);
  });

  it('an open guard at the start is asked for, and the run goes on by itself once it is closed', async () => {
    const questions: string[] = [];
    bench = await openBench({ seed: 7, size: 1 }, { asked: (_runId, question) => questions.push(question) });
    const { clock, rig, station } = bench;
    const { serial } = rig.sideDoor.load(0);
    rig.sideDoor.setGuard(false);
    const { runId } = station.start({ ...request, serial });
    await clock.advance(3_000);
    expect(questions).toEqual(['Close the guard.']);
    expect(rig.sideDoor.moment().moving).toBe(false);
    rig.sideDoor.setGuard(true);
    const { summary } = await clock.runUntil(station.wait(runId));
    expect(summary.outcome).toBe('completed');
  });
});

describe('a station that may not be trusted', () => {
  it('gives void without moving anything when the calibration is overdue', async () => {
    bench = await openBench({ seed: 7, size: 1 });
    const { clock, rig, station } = bench;
    const calibration = station.rigDesk.calibration();
    if (calibration === null) throw new Error('the bench has no calibration');
    const overdue = {
      ...calibration,
      id: 'cal-overdue',
      madeAt: '2026-11-25T08:00:00.001Z',
      dueAt: '2026-11-25T08:00:00.002Z',
    };
    station.archive.storeCalibration({ id: overdue.id, data: overdue });
    await clock.advance(100);
    const summary = await bench.measure(0);
    expect(summary).toMatchObject({ outcome: 'void', verdict: 'void' });
    expect(summary.verdictReason).toMatch(/due/i);
    expect(rig.sideDoor.executions().filter(({ word }) => word === 'visit' || word === 'home')).toEqual([]);
  });
});
