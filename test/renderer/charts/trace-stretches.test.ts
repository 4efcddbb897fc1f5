import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  isOneWay,
  panned,
  traceStretches,
  type View,
  viewAfterKey,
  zoomed,
} from '../../../renderer/charts/trace-stretches.ts';
import type { TraceRecord } from '../../../src/archive/records.ts';

/** A glide of 1 um a sample from `fromUm`, ratio rising by a thousandth of the track a sample. */
function glide(counters: readonly number[], stepUm = 1, fromUm = 100): TraceRecord {
  const count = counters.length;
  return {
    purpose: 'closedEnd',
    samplePeriodUs: 200,
    trackCounts: 1_000_000,
    counter: Uint32Array.from(counters),
    positionUm: Int32Array.from({ length: count }, (_, at) => fromUm + at * stepUm),
    rigClockUs: Float64Array.from(counters, (counter) => 5_000_000 + counter * 200),
    wiperCounts: Int32Array.from({ length: count }, (_, at) => at * 1000),
  };
}
const mm = (positionUm: number): number => positionUm / 1000;

describe('samples of a glide', () => {
  test('become travel in mm or time in s, and percent of the track', () => {
    const trace = glide([7, 8, 9]);
    expect(traceStretches(trace, 'travel', mm).stretches).toEqual([
      [
        { x: 0.1, y: 0 },
        { x: 0.101, y: 0.1 },
        { x: 0.102, y: 0.2 },
      ],
    ]);
    const overTime = traceStretches(trace, 'time', mm);
    expect(overTime.stretches[0]?.map((place) => place.x)).toEqual([0, 0.0002, 0.0004]);
    expect(overTime).toMatchObject({ samples: 3, lost: 0, xMin: 0, xMax: 0.0004, yMin: 0, yMax: 0.2 });
  });

  test('that the line lost leave a gap and are counted', () => {
    const trace = traceStretches(glide([1, 2, 5, 6, 7, 20]), 'time', mm);
    expect(trace.stretches.map((stretch) => stretch.length)).toEqual([2, 3, 1]);
    expect(trace.lost).toBe(2 + 12);
  });

  test('go on where the counter starts again from 0 after its greatest value', () => {
    expect(traceStretches(glide([4_294_967_294, 4_294_967_295, 0, 1]), 'time', mm)).toMatchObject({ lost: 0 });
  });

  test('of a closing glide are turned round, so that travel rises to the right', () => {
    const trace = traceStretches(glide([1, 2, 3], -10, 500), 'travel', mm);
    expect(trace.stretches[0]?.map((place) => place.x)).toEqual([0.48, 0.49, 0.5]);
    expect(trace.stretches[0]?.map((place) => place.y)).toEqual([0.2, 0.1, 0]);
  });

  test('without a reference voltage are gaps, not numbers', () => {
    const trace = traceStretches({ ...glide([1, 2]), trackCounts: 0 }, 'time', mm);
    expect(trace.stretches.flat().every((place) => Number.isNaN(place.y))).toBe(true);
  });

  test('none at all make no stretch', () => {
    expect(traceStretches(glide([]), 'time', mm)).toMatchObject({ stretches: [], samples: 0, lost: 0 });
  });
});

test('travel can be an axis only while the carriage goes one way', () => {
  expect(isOneWay(Int32Array.of(1, 1, 2, 5))).toBe(true);
  expect(isOneWay(Int32Array.of(5, 4, 4, 1))).toBe(true);
  expect(isOneWay(Int32Array.of(1, 2, 1))).toBe(false);
  expect(isOneWay(Int32Array.of(3, 3, 3))).toBe(false);
});

describe('looking along a trace', () => {
  const whole: View = { from: 10, to: 20 };
  const inside = (view: View): void => {
    expect(view.from).toBeGreaterThanOrEqual(whole.from - 1e-9);
    expect(view.to).toBeLessThanOrEqual(whole.to + 1e-9);
    expect(view.to).toBeGreaterThan(view.from);
  };

  test('moves by a share of what is seen and stops at the ends', () => {
    expect(panned({ from: 12, to: 14 }, 0.5, whole)).toEqual({ from: 13, to: 15 });
    expect(panned({ from: 12, to: 14 }, -9, whole)).toEqual({ from: 10, to: 12 });
    expect(panned({ from: 12, to: 14 }, 9, whole)).toEqual({ from: 18, to: 20 });
  });

  test('looks closer about the place that is meant', () => {
    expect(zoomed(whole, 0.5, whole, 12)).toEqual({ from: 11, to: 16 });
    expect(zoomed({ from: 11, to: 16 }, 100, whole)).toEqual(whole);
  });

  test('by keys does the same; other keys mean nothing', () => {
    expect(viewAfterKey('ArrowUp', whole, whole)).toEqual({ from: 12.5, to: 17.5 });
    expect(viewAfterKey('ArrowRight', { from: 10, to: 15 }, whole)).toEqual({ from: 11, to: 16 });
    expect(viewAfterKey('Home', { from: 11, to: 12 }, whole)).toEqual(whole);
    expect(viewAfterKey('a', whole, whole)).toBeNull();
  });

  test('never leaves the trace, whatever is pressed', () => {
    const key = fc.constantFrom('ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown');
    fc.assert(
      fc.property(fc.array(key, { maxLength: 60 }), (keys) => {
        inside(keys.reduce<View>((view, each) => viewAfterKey(each, view, whole) ?? view, whole));
      }),
    );
  });
});
