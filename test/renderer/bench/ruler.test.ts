import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rulerMarks, rulerPlace } from '../../../renderer/screens/bench/ruler.ts';

test('one mark a step while there is room, every fifth long', () => {
  const marks = rulerMarks(10, 60);
  expect(marks).toHaveLength(11);
  expect(marks.filter(({ isLong }) => isLong).map(({ share }) => share)).toEqual([0, 0.5, 1]);
});

test('the ruler always begins at 0, ends at 1, rises, and keeps its marks apart', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 5_000 }), (stepCount) => {
      const shares = rulerMarks(stepCount, 60).map(({ share }) => share);
      expect(shares[0]).toBe(0);
      expect(shares.at(-1)).toBe(1);
      expect(shares.length).toBeLessThanOrEqual(62);
      for (let index = 1; index < shares.length; index += 1) {
        expect(shares[index] ?? 0).toBeGreaterThan(shares[index - 1] ?? 0);
      }
    }),
  );
});

test('without steps there is no ruler, and the index mark never leaves it', () => {
  expect(rulerMarks(0, 60)).toEqual([]);
  expect([rulerPlace(-0.2), rulerPlace(0.4), rulerPlace(1.3), rulerPlace(Number.NaN)]).toEqual([0, 0.4, 1, 0]);
});
