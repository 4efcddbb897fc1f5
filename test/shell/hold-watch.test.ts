import { expect, test } from 'vitest';
import { haltAgainMs, silenceAllowedMs, watchHold } from '../../src/shell/hold-watch.ts';
import { manualClock } from './manual-clock.ts';

function bench() {
  const clock = manualClock();
  const halts: number[] = [];
  const hold = watchHold({
    async halt() {
      halts.push(clock.nowMs());
    },
    log: () => {},
    after: clock.after,
  });
  let end: () => void = () => {};
  const creep = (): Promise<void> => hold.watch(new Promise<void>((resolve) => (end = resolve)));
  return { clock, halts, hold, creep, end: () => end() };
}

test('a held key that is repeated in time is never halted', () => {
  const { clock, halts, hold, creep } = bench();
  void creep();
  for (let i = 0; i < 50; i += 1) {
    clock.advance(silenceAllowedMs - 1);
    hold.held();
  }
  expect(halts).toEqual([]);
});

test('a window that falls silent is halted, again and again until the creep has ended', async () => {
  const { clock, halts, creep, end } = bench();
  const creeping = creep();
  clock.advance(silenceAllowedMs + 3 * haltAgainMs);
  expect(halts).toEqual([0, 1, 2, 3].map((again) => silenceAllowedMs + again * haltAgainMs));
  end();
  await creeping;
  clock.advance(10_000);
  expect(halts).toHaveLength(4);
});

test('a sign of life after the halt does not let the creep go on', () => {
  const { clock, halts, hold, creep } = bench();
  void creep();
  clock.advance(silenceAllowedMs);
  hold.held();
  clock.advance(haltAgainMs);
  expect(halts).toHaveLength(2);
});

test('a lost window is halted at once', () => {
  const { halts, hold, creep } = bench();
  void creep();
  hold.lost('the window ended');
  expect(halts).toEqual([0]);
});

test('nothing is halted while nothing creeps', async () => {
  const { clock, halts, hold, creep, end } = bench();
  hold.lost('the window ended');
  const creeping = creep();
  end();
  await creeping;
  hold.lost('the window ended');
  clock.advance(10_000);
  expect(halts).toEqual([]);
});

test('the next creep starts with a clean watch', async () => {
  const { clock, halts, hold, creep, end } = bench();
  const first = creep();
  clock.advance(silenceAllowedMs);
  end();
  await first;
  void creep();
  clock.advance(silenceAllowedMs - 1);
  hold.held();
  clock.advance(silenceAllowedMs - 1);
  expect(halts).toHaveLength(1);
});

test('a creep that fails is passed on and no longer watched', async () => {
  const { clock, halts, hold } = bench();
  await expect(hold.watch(Promise.reject(new Error('guard')))).rejects.toThrow('guard');
  clock.advance(10_000);
  expect(halts).toEqual([]);
});
