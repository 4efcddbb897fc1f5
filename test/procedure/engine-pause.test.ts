import { describe, expect, it } from 'vitest';
import { runProcedure } from '../../src/procedure/engine.ts';
import { createFakeRig, type FakeRig } from './fake-rig.ts';
import { check, everyOrder, expectSafe, optionsFor } from './run-on-fake.ts';

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
