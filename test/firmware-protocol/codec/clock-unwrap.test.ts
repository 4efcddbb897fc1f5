import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ClockUnwrap } from '../../../firmware-protocol/codec/index.ts';

describe('rig clock', () => {
  test('never comes round', () => {
    const gaps = fc.array(fc.integer({ min: 0, max: 2 ** 31 - 1 }), { minLength: 1, maxLength: 50 });
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 2 ** 32 - 1 }), gaps, (start, steps) => {
        const clock = new ClockUnwrap();
        let truth = start;
        expect(clock.unwrap(truth % 2 ** 32)).toBe(start);
        for (const step of steps) {
          truth += step;
          expect(clock.unwrap(truth % 2 ** 32)).toBe(truth);
        }
      }),
    );
  });

  test('a late reading lies before the latest one, also across the turn', () => {
    const clock = new ClockUnwrap();
    clock.unwrap(4_294_967_000);
    expect(clock.unwrap(100)).toBe(4_294_967_396);
    expect(clock.unwrap(4_294_967_200)).toBe(4_294_967_200);
    expect(clock.unwrap(200)).toBe(4_294_967_496);
  });

  test('starts anew after a restart of the rig', () => {
    const clock = new ClockUnwrap();
    clock.unwrap(4_000_000_000);
    clock.reset();
    expect(clock.unwrap(5)).toBe(5);
  });

  test.each([-1, 0.5, 2 ** 32, Number.NaN])('refuses %d', (clockUs) => {
    expect(() => new ClockUnwrap().unwrap(clockUs)).toThrow(RangeError);
  });
});
