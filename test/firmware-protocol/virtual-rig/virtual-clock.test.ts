import { PassThrough } from 'node:stream';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { VirtualClock, VirtualClockIdleError } from '../../../firmware-protocol/virtual-rig/virtual-clock.ts';

describe('a virtual clock', () => {
  test('runs what is due in order of time, then of asking', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.integer({ min: 0, max: 50 }), { maxLength: 60 }), async (delays) => {
        const clock = new VirtualClock();
        const ran: [number, number][] = [];
        delays.forEach((delay, i) => void clock.after(delay, () => ran.push([clock.nowMs(), i])));
        await clock.advance(50);
        const expected = delays
          .map((delay, i): [number, number] => [delay, i])
          .sort(([a, i], [b, j]) => a - b || i - j);
        expect(ran).toEqual(expected);
      }),
      { numRuns: 30 },
    );
  });

  test('does not run what was called off', async () => {
    const clock = new VirtualClock();
    let ran = 0;
    const cancel = clock.after(5, () => ran++);
    clock.after(5, () => ran++);
    cancel();
    await clock.advance(10);
    expect(ran).toBe(1);
  });

  test('lets streams hand on between two moments', async () => {
    const clock = new VirtualClock();
    const end = new PassThrough();
    const start = new PassThrough();
    start.pipe(new PassThrough()).pipe(end);
    clock.after(3600_000, () => start.write('late'));
    const got = new Promise<string>((resolve) => end.on('data', (bytes) => resolve(String(bytes))));
    expect(await clock.runUntil(got)).toBe('late');
    expect(clock.nowMs()).toBe(3600_000);
  });

  test('says so when nothing can settle the promise any more', async () => {
    const clock = new VirtualClock();
    await expect(clock.runUntil(new Promise(() => undefined))).rejects.toThrow(VirtualClockIdleError);
  });

  test('hands on a rejection', async () => {
    const clock = new VirtualClock();
    const failing = new Promise((_, reject) => void clock.after(5, () => reject(new Error('no'))));
    await expect(clock.runUntil(failing)).rejects.toThrow('no');
  });
});
