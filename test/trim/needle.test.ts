import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addedFromRatio,
  approachOf,
  betterSide,
  cuttingRate,
  needleTarget,
  needleWord,
  ratioAfter,
  stopLine,
  toneHz,
} from '../../src/trim/needle.ts';

const parked = fc.record({
  cellOhm: fc.double({ min: 1, max: 2000, noNaN: true }),
  belowOhm: fc.double({ min: 1, max: 4000, noNaN: true }),
  totalOhm: fc.double({ min: 7000, max: 12_000, noNaN: true }),
});

describe('the live needle', () => {
  it('reads from the streamed ratio what the cell has gained, at either tap', () => {
    fc.assert(
      fc.property(parked, fc.double({ min: 0, max: 500, noNaN: true }), (cell, added) => {
        for (const side of ['openSide', 'closedSide'] as const)
          expect(addedFromRatio(cell, side, ratioAfter(cell, side, added))).toBeCloseTo(added, 6);
      }),
    );
  });

  it('asks the same of a cell whatever was cut elsewhere before', () => {
    // 2500 of 10 000 ohm; other cells grow by 1000 first, the cell is then a smaller part of a larger total.
    const before = needleTarget({ cellOhm: 2500, belowOhm: 3000, totalOhm: 10_000 }, 'openSide', 300);
    const after = needleTarget({ cellOhm: 2500, belowOhm: 3400, totalOhm: 11_000 }, 'openSide', 300);
    expect(after.targetOhm).toBe(before.targetOhm);
    expect(after.targetRatio).not.toBeCloseTo(before.targetRatio, 3);
  });

  it('parks at the tap that moves more', () => {
    expect(betterSide({ cellOhm: 50, belowOhm: 100, totalOhm: 10_000 })).toBe('openSide');
    expect(betterSide({ cellOhm: 500, belowOhm: 9000, totalOhm: 10_000 })).toBe('closedSide');
  });

  it('places the stop line early by what is cut while reading and reacting, and by U', () => {
    const line = stopLine({ targetOhm: 300, rateOhmPerS: 20, reactionS: 0.4, delayS: 0.1, uOhm: 1.5 });
    expect(line).toBeCloseTo(300 - 20 * 0.5 - 3, 12);
    expect(stopLine({ targetOhm: 300, rateOhmPerS: 0, reactionS: 0.4, delayS: 0.1, uOhm: 0 })).toBe(300);
  });

  it('ends on target when cutting goes on for the reaction time after the line', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 80, noNaN: true }),
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        (rate, reactionS) => {
          const line = stopLine({ targetOhm: 400, rateOhmPerS: rate, reactionS, delayS: 0, uOhm: 0 });
          expect(line + rate * reactionS).toBeCloseTo(400, 9);
        },
      ),
    );
  });

  it('takes the cutting rate from the last moments', () => {
    const samples = Array.from({ length: 40 }, (_, i) => ({
      atS: i * 0.05,
      cellOhm: i < 20 ? 100 : 100 + (i - 20) * 1.5,
    }));
    expect(cuttingRate(samples, 0.5)).toBeCloseTo(30, 6);
    expect(cuttingRate(samples.slice(0, 2), 0.5)).toBeNull();
    const falling = samples.map((sample) => ({ ...sample, cellOhm: -sample.cellOhm }));
    expect(cuttingRate(falling, 0.5)).toBe(0);
  });

  it('nears 1 at the line, rises in pitch, and says stop at it and for good', () => {
    expect(approachOf(100, 200, 100)).toBe(0);
    expect(approachOf(100, 200, 150)).toBe(0.5);
    expect(approachOf(100, 200, 250)).toBe(1);
    expect(approachOf(100, 90, 100)).toBe(1);
    expect(toneHz(0)).toBe(220);
    expect(toneHz(1)).toBe(880);
    expect(toneHz(0.6)).toBeGreaterThan(toneHz(0.5));
    expect([0, 0.79, 0.8, 0.999, 1].map((near) => needleWord(near, false))).toEqual([
      'cut',
      'cut',
      'slow',
      'slow',
      'stop',
    ]);
    // Dust under the finger makes it fall back.
    expect(needleWord(0.2, true)).toBe('stop');
    expect(needleWord(Number.NaN, false)).toBe('stop');
  });
});
