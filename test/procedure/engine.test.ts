import { describe, expect, it } from 'vitest';
import { exampleLaw } from '../../src/law/examples.ts';
import { runProcedure } from '../../src/procedure/engine.ts';
import { pointCheck } from '../../src/procedure/point-check.ts';
import type { RunProgress } from '../../src/procedure/progress.ts';
import type { RunOptions } from '../../src/procedure/run-types.ts';
import type { Procedure, Step } from '../../src/procedure/steps.ts';
import { exampleCalibration as calibration } from '../trust/example-calibration.ts';
import { createFakeRig, type FakeRig, FakeRigError, fakeLimits } from './fake-rig.ts';
import { simpleProfile } from './simple-profile.ts';

const law = exampleLaw('GF-60');
const check = (): Procedure => pointCheck({ law, calibration, limits: fakeLimits, profileFor: simpleProfile });
const optionsFor = (rig: FakeRig, more: Partial<RunOptions> = {}): RunOptions => ({ nowMs: () => rig.nowMs, ...more });
/** Steps that become orders of the rig, which is all but `status`. */
const orderCount = check().plan.filter((step) => step.kind !== 'status').length;
const everyOrder = Array.from({ length: orderCount }, (_, i) => i + 1);
const never = (): Promise<void> => new Promise(() => {});

function expectSafe(rig: FakeRig): void {
  expect(rig.isMoving).toBe(false);
  expect(rig.isPowered).toBe(false);
  expect(rig.listeners).toBe(0);
}

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
      queueMicrotask(() => rig.emit({ kind: 'lineLost', reason: 'cable out.' }));
      return never();
    };
    const result = await runProcedure(check(), rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'lineLost' });
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

describe('pausing at every step', () => {
  it.each(everyOrder.slice(0, -1))('order %i: holds before the next and completes after', async (at) => {
    const rig = createFakeRig();
    const states: string[] = [];
    const run = runProcedure(check(), rig, optionsFor(rig, { onProgress: (p) => states.push(p.state) }));
    let paused: (() => void) | null = null;
    const whenPaused = new Promise<void>((resolve) => {
      paused = resolve;
    });
    rig.onOrder = (_, count) => {
      if (count === at) expect(run.pause()).toBe(true);
      return undefined;
    };
    const poll = async (): Promise<void> => {
      while (run.state !== 'paused') await new Promise((resolve) => setImmediate(resolve));
      paused?.();
    };
    await Promise.all([poll(), whenPaused]);
    expect(rig.orders).toHaveLength(at);
    expect(rig.isMoving).toBe(false);
    expect(run.resume()).toBe(true);
    const result = await run.done;
    expect(result.outcome).toBe('completed');
    expect(states).toContain('pausing');
  });

  const pausedAt = async (rig: FakeRig, at: number) => {
    const run = runProcedure(check(), rig, optionsFor(rig));
    rig.onOrder = (_, count) => {
      if (count === at) run.pause();
      return undefined;
    };
    while (run.state !== 'paused') await new Promise((resolve) => setImmediate(resolve));
    return run;
  };

  it('can be stopped while it holds', async () => {
    const rig = createFakeRig();
    const run = await pausedAt(rig, 9);
    expect(run.stop('Enough.')).toBe(true);
    expect(await run.done).toMatchObject({ outcome: 'stopped', reason: 'Enough.' });
    expectSafe(rig);
  });

  it('lets the guard be opened and closed while it holds', async () => {
    const rig = createFakeRig();
    const run = await pausedAt(rig, 9);
    rig.emit({
      kind: 'interlocks',
      interlocks: { guardClosed: false, emergencyStopReleased: true, clampClosed: true },
    });
    rig.emit({ kind: 'interlocks', interlocks: { guardClosed: true, emergencyStopReleased: true, clampClosed: true } });
    run.resume();
    expect((await run.done).outcome).toBe('completed');
  });

  it('does not go on with the guard open, nor when the clamp was opened', async () => {
    const guard = createFakeRig();
    const first = await pausedAt(guard, 9);
    guard.emit({
      kind: 'interlocks',
      interlocks: { guardClosed: false, emergencyStopReleased: true, clampClosed: true },
    });
    first.resume();
    expect(await first.done).toMatchObject({ outcome: 'void', code: 'interlockOpen' });
    expect(guard.orders.slice(9)).toEqual(['halt', 'power off']);

    const clamp = createFakeRig();
    const second = await pausedAt(clamp, 9);
    clamp.emit({
      kind: 'interlocks',
      interlocks: { guardClosed: true, emergencyStopReleased: true, clampClosed: false },
    });
    expect(await second.done).toMatchObject({ outcome: 'void', code: 'interlockOpen' });
  });

  it('does not go on when the rig lost its position meanwhile', async () => {
    const rig = createFakeRig();
    const run = await pausedAt(rig, 9);
    await rig.power(false);
    run.resume();
    expect(await run.done).toMatchObject({ outcome: 'void', code: 'rigNotReady' });
  });

  it('takes a pause back that has not come yet', async () => {
    const rig = createFakeRig();
    const run = runProcedure(check(), rig, optionsFor(rig));
    expect(run.pause()).toBe(true);
    expect(run.pause()).toBe(false);
    expect(run.resume()).toBe(true);
    expect((await run.done).outcome).toBe('completed');
    expect(run.pause()).toBe(false);
    expect(run.resume()).toBe(false);
    expect(run.stop('late')).toBe(false);
  });
});

describe('before anything moves', () => {
  it('refuses a plan that leaves the travel of the rig, without one order', async () => {
    const rig = createFakeRig();
    const far = { ...calibration, position: { ...calibration.position, zeroMm: -60 } };
    const procedure = pointCheck({
      law: exampleLaw('PF-104'),
      calibration: far,
      limits: fakeLimits,
      profileFor: simpleProfile,
    });
    const result = await runProcedure(procedure, rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'planRefused' });
    expect(result.reason).toContain('mm');
    expect(rig.orders).toEqual([]);
  });

  it('asks the operator to close what is open, and goes on when it is', async () => {
    const rig = createFakeRig();
    rig.interlocks = { guardClosed: false, emergencyStopReleased: true, clampClosed: false };
    const questions: string[] = [];
    const ask = (question: string): Promise<boolean> => {
      questions.push(question);
      rig.interlocks = { guardClosed: true, emergencyStopReleased: true, clampClosed: questions.length > 1 };
      return Promise.resolve(true);
    };
    const result = await runProcedure(check(), rig, optionsFor(rig, { ask })).done;
    expect(result.outcome).toBe('completed');
    expect(questions).toEqual(['Close the clamp on the fader. Close the guard.', 'Close the clamp on the fader.']);
  });

  it.each([
    ['operatorDeclined', 'stopped', () => Promise.resolve(false)],
    ['interlockOpen', 'void', () => Promise.resolve(true)],
    ['operatorDeclined', 'stopped', undefined],
  ] as const)('ends as %s (%s) when they stay open', async (code, outcome, ask) => {
    const rig = createFakeRig();
    rig.interlocks = { guardClosed: false, emergencyStopReleased: true, clampClosed: true };
    const result = await runProcedure(check(), rig, optionsFor(rig, ask === undefined ? {} : { ask })).done;
    expect(result).toMatchObject({ outcome, code });
    expect(rig.orders).not.toContain('home');
  });

  it('can be stopped while the operator is asked', async () => {
    const rig = createFakeRig();
    rig.interlocks = { guardClosed: false, emergencyStopReleased: true, clampClosed: true };
    const run = runProcedure(check(), rig, optionsFor(rig, { ask: () => new Promise<boolean>(() => {}) }));
    await new Promise((resolve) => setImmediate(resolve));
    run.stop('No one there.');
    expect(await run.done).toMatchObject({ outcome: 'stopped', code: 'stopRequested' });
  });

  it('does nothing when it was called off beforehand', async () => {
    const rig = createFakeRig();
    const result = await runProcedure(check(), rig, optionsFor(rig, { signal: AbortSignal.abort() })).done;
    expect(result.outcome).toBe('stopped');
    expect(rig.orders).toEqual([]);
  });
});

describe('never completed wrongly', () => {
  it('is void when a procedure ends before its plan', async () => {
    const rig = createFakeRig();
    const plan: readonly Step[] = check().plan.slice(0, 2);
    const procedure: Procedure = {
      name: 'short',
      plan,
      *steps() {
        for (const step of plan.slice(0, 1)) yield step;
      },
    };
    expect((await runProcedure(procedure, rig, optionsFor(rig)).done).outcome).toBe('void');
  });

  it('is void when a procedure throws', async () => {
    const rig = createFakeRig();
    const procedure: Procedure = {
      name: 'broken',
      plan: [],
      // biome-ignore lint/correctness/useYield: a generator that fails at once
      *steps() {
        throw new RangeError('lost its way');
      },
    };
    const result = await runProcedure(procedure, rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'unexpected', reason: 'lost its way' });
  });

  it('refuses a step outside the plan that asks for too much', async () => {
    const rig = createFakeRig();
    const wild: Step = {
      kind: 'move',
      label: 'Off the end',
      approach: 'up',
      order: { targetUm: 999_999, speedUmPerS: 1000, accelMmPerS2: 100, jerkMmPerS3: 0 },
      expectedUs: 0,
    };
    const procedure: Procedure = {
      name: 'wild',
      plan: [],
      *steps() {
        yield wild;
      },
    };
    const result = await runProcedure(procedure, rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'planRefused' });
    expect(rig.orders.some((word) => word.startsWith('visit'))).toBe(false);
  });

  it('does not move on an interlock reading that has grown old', async () => {
    const rig = createFakeRig(2_000);
    rig.onOrder = (word) => {
      // No event tells of it: only looking again does.
      if (word === 'ohms') rig.interlocks = { guardClosed: false, emergencyStopReleased: true, clampClosed: true };
      return undefined;
    };
    const result = await runProcedure(check(), rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'interlockOpen' });
    expect(rig.orders.slice(rig.orders.indexOf('ohms') + 1)).toEqual(['halt', 'power off']);
  });
});
