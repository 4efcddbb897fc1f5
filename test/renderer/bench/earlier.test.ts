import { describe, expect, test } from 'vitest';
import { earlierOf } from '../../../renderer/screens/bench/earlier.ts';
import type { VerdictWord } from '../../../src/contract/state.ts';

const run = (verdict: VerdictWord, time: string, change = {}) => ({
  verdict,
  startedAt: `2026-11-25T${time}:00.000Z`,
  lawId: 'PF-104',
  isVirtual: false,
  ...change,
});
const hour = (iso: string): string => iso.slice(11, 16);
const wentBefore = (...runs: readonly ReturnType<typeof run>[]) => earlierOf(runs, 'PF-104', hour);

describe('what a piece did before', () => {
  test('nothing is said of a piece that was never measured', () => {
    expect(wentBefore()).toBeNull();
  });

  test.each([
    ['fail', 'failed at 14:15'],
    ['pass', 'passed at 14:15'],
    ['doubt', 'was in doubt at 14:15'],
    ['void', 'gave no result at 14:15'],
  ] as const)('one run that ended in %s', (verdict, clause) => {
    expect(wentBefore(run(verdict, '14:15'))).toEqual({ clause, attempt: 2 });
  });

  test('a later pass does not wash a fail away', () => {
    expect(wentBefore(run('pass', '14:40'), run('void', '14:30'), run('fail', '14:15'))).toEqual({
      clause: 'passed at 14:40, failed at 14:15',
      attempt: 4,
    });
  });

  test('several fails are counted', () => {
    expect(wentBefore(run('fail', '14:40'), run('fail', '14:15'))?.clause).toBe('failed 2 times, last at 14:40');
  });

  test('attempts count at the same law only, as the station counts them', () => {
    const other = { lawId: 'QS-54' };
    expect(wentBefore(run('fail', '14:15', other))).toEqual({ clause: 'failed at 14:15', attempt: null });
    expect(wentBefore(run('void', '14:40'), run('fail', '14:15', other))?.attempt).toBe(2);
  });

  test('a run on a virtual rig says so', () => {
    expect(wentBefore(run('fail', '14:15', { isVirtual: true }))?.clause).toBe('failed at 14:15 (virtual)');
  });
});
