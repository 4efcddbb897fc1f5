import fc from 'fast-check';
import { expect, test } from 'vitest';
import { needleTone } from '../../../renderer/sound/needle-tone.ts';

test('nearer is never lower and never slower', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 0.999, noNaN: true }),
      fc.double({ min: 0, max: 0.999, noNaN: true }),
      (a, b) => {
        const [far, near] = [needleTone(Math.min(a, b)), needleTone(Math.max(a, b))];
        expect(near?.hz).toBeGreaterThanOrEqual(far?.hz ?? Number.POSITIVE_INFINITY);
        expect(near?.beatMs).toBeLessThanOrEqual(far?.beatMs ?? 0);
      },
    ),
  );
});

test('at the stop line and beyond it the tone is held', () => {
  expect(needleTone(1)).toEqual({ hz: 880, beatMs: null });
  expect(needleTone(1.4)).toEqual(needleTone(1));
});

test('without a reading it is silent, never as if nothing had been cut', () => {
  expect(needleTone(null)).toBeNull();
  expect(needleTone(Number.NaN)).toBeNull();
  expect(needleTone(0)).not.toBeNull();
});
