import { describe, expect, it } from 'vitest';
import { runProcedure } from '../../src/procedure/engine.ts';
import type { RunProgress } from '../../src/procedure/progress.ts';
import { createFakeRig, FakeRigError } from './fake-rig.ts';
import { check, everyOrder, expectSafe, law, never, optionsFor } from './run-on-fake.ts';

describe('a run that meets nothing', () => {
  it('completes every step, in the order of the plan, and leaves the rig parked', async () => {
    const rig = createFakeRig();
    const procedure = check();
    const run = runProcedure(procedure, rig, optionsFor(rig));
    const result = await run.done;
    expect(result).toMatchObject({ outcome: 'completed', reason: null, code: null, stepsDone: procedure.plan.length });
    expect(run.state).toBe('ended');
    expect(result.readings.filter((r) => r.purpose === 'point')).toHaveLength(2 * law.points.length);
    expect(result.readings.map((r) => r.sequence)).toEqual(result.readings.map((_, i) => i));
    expect(result.traces.map((t) => t.purpose)).toEqual(['closedEnd', 'openEnd']);
    expect(rig.orders.at(-1)).toBe('park');
    expect(rig.orders).not.toContain('halt');
    expectSafe(rig);
  });

  it('tells a fraction that never falls and ends at one, and a time left that ends at none', async () => {
    const rig = createFakeRig();
    const seen: RunProgress[] = [];
    await runProcedure(check(), rig, optionsFor(rig, { onProgress: (p) => seen.push(p) })).done;
    seen.forEach((progress, i) => {
      expect(progress.fraction).toBeGreaterThanOrEqual(seen[i - 1]?.fraction ?? 0);
      expect(progress.timeLeftMs).toBeGreaterThanOrEqual(0);
      expect(progress.stepIndex).toBeLessThanOrEqual(progress.stepCount);
    });
    expect(seen.at(-1)).toMatchObject({ state: 'ended', fraction: 1, timeLeftMs: 0 });
    expect(seen.some((progress) => progress.doing.includes('Point 3'))).toBe(true);
  });

  it('goes on when a listener fails, and notes it', async () => {
    const rig = createFakeRig();
    const onReading = (): void => {
      throw new Error('screen gone');
    };
    const result = await runProcedure(check(), rig, optionsFor(rig, { onReading })).done;
    expect(result.outcome).toBe('completed');
    expect(result.notes[0]).toContain('screen gone');
  });
});

describe('stopping at every step', () => {
  it.each(everyOrder)('order %i: stopped, standing, what was read is kept', async (at) => {
    const rig = createFakeRig();
    const run = runProcedure(check(), rig, optionsFor(rig));
    rig.onOrder = (_, count) => {
      if (count !== at) return undefined;
      queueMicrotask(() => run.stop('The operator pressed stop.'));
      return never();
    };
    const result = await run.done;
    expect(result).toMatchObject({ outcome: 'stopped', code: 'stopRequested', reason: 'The operator pressed stop.' });
    expect(rig.orders.indexOf('halt')).toBe(at);
    expect(result.cleanup.standsStill).toBe(true);
    const read = rig.orders.slice(0, at - 1).filter((word) => /^(visit|sense|ohms)/.test(word)).length;
    const moves = check()
      .plan.filter((s) => s.kind !== 'status')
      .slice(0, at - 1)
      .filter((s) => s.kind === 'move');
    expect(result.readings).toHaveLength(read - moves.length);
    expectSafe(rig);
  });
});

describe('a failure at every step', () => {
  it.each(everyOrder)('order %i refused: void with the code of the rig', async (at) => {
    const rig = createFakeRig();
    rig.onOrder = (_, count) => (count === at ? Promise.reject(new FakeRigError('noAnswer')) : undefined);
    const result = await runProcedure(check(), rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'noAnswer', reason: 'The rig says noAnswer.' });
    expect(rig.orders).toContain('halt');
    expectSafe(rig);
  });

  it.each(everyOrder)('order %i: line lost in the middle of it', async (at) => {
    const rig = createFakeRig();
    rig.onOrder = (_, count) => {
      if (count !== at) return undefined;
      queueMicrotask(() => rig.emit({ kind: 'lineLost', port: '/dev/ttyACM0', reason: 'bad file descriptor' }));
      return never();
    };
    const result = await runProcedure(check(), rig, optionsFor(rig)).done;
    expect(result).toMatchObject({
      outcome: 'void',
      code: 'lineLost',
      // What the system said of it is no part of the record.
      reason:
        'The line to the rig on /dev/ttyACM0 was lost. Check its cable and supply, and measure again when it is back.',
    });
    expect(rig.orders.slice(at)).not.toContain('park');
    expectSafe(rig);
  });

  it.each([
    [
      'interlockOpen',
      { kind: 'interlocks', interlocks: { guardClosed: false, emergencyStopReleased: true, clampClosed: true } },
    ],
    [
      'interlockOpen',
      { kind: 'interlocks', interlocks: { guardClosed: true, emergencyStopReleased: false, clampClosed: true } },
    ],
    ['stall', { kind: 'stall', positionUm: 1234 }],
    ['silenceStop', { kind: 'silenceStop', positionUm: 1234 }],
    ['rigRestarted', { kind: 'restarted' }],
  ] as const)('%s in mid-motion: void, never driven again', async (code, event) => {
    const rig = createFakeRig();
    rig.onOrder = (_, count) => {
      if (count !== 12) return undefined;
      queueMicrotask(() => rig.emit(event));
      return never();
    };
    const result = await runProcedure(check(), rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code });
    expect(result.reason).toMatch(/\.$/);
    expect(rig.orders.slice(12)).toEqual(['halt', 'power off']);
    expectSafe(rig);
  });

  it('is called unexpected when it carries no code', async () => {
    const rig = createFakeRig();
    rig.onOrder = (word) => (word === 'ohms' ? Promise.reject(new TypeError('nonsense')) : undefined);
    const result = await runProcedure(check(), rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'unexpected', reason: 'nonsense' });
  });

  it('says so when standing still cannot be confirmed', async () => {
    const rig = createFakeRig();
    rig.halt = () => Promise.reject(new FakeRigError('lineLost'));
    rig.onOrder = (word) => (word === 'glide' ? Promise.reject(new FakeRigError('lineLost')) : undefined);
    const result = await runProcedure(check(), rig, optionsFor(rig)).done;
    expect(result.cleanup).toMatchObject({ standsStill: false, parked: false });
    expect(result.cleanup.problem).toContain('look at the rig');
  });
});
