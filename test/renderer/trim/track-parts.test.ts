import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { trackColumns } from '../../../renderer/screens/bench/trim/track-frame.ts';
import { notchOf, placeOf, setApart, tapsOf, trackParts } from '../../../renderer/screens/bench/trim/track-parts.ts';
import { cells, law, rules } from './pieces.ts';

const shave = {
  kind: 'shave',
  number: 1,
  cellIndex: 3,
  side: 'left',
  fromMm: 12.5,
  toMm: 14.5,
  depthMm: 0.34,
} as const;
const plunge = { kind: 'plunge', number: 2, cellIndex: 8, side: 'right', atMm: 33, depthMm: 0.5 } as const;

describe('the track to scale', () => {
  test('a shave takes its depth off its own edge, along its length', () => {
    expect(notchOf(shave, rules)).toEqual({ leftMm: 0, rightMm: 0.34, fromMm: 12.5, toMm: 14.5 });
    expect(placeOf(shave)).toBe(13.5);
  });

  test('a plunge on the right side ends at the right edge, around its place', () => {
    const { leftMm, rightMm, fromMm, toMm } = notchOf(plunge, rules);
    expect([leftMm, rightMm]).toEqual([3.5, 4]);
    expect((fromMm + toMm) / 2).toBeCloseTo(33, 12);
    expect(placeOf(plunge)).toBe(33);
  });

  test('film, margins and conductors meet without a gap, and the swath lies in the middle', () => {
    const { film, swath, margins, conductors } = trackParts(rules, law.travelMm);
    expect(conductors.map(({ fromMm, toMm }) => [fromMm, toMm])).toEqual([
      [0, film.fromMm],
      [film.toMm, law.travelMm],
    ]);
    expect(swath.leftMm + swath.rightMm).toBe(rules.widthMm);
    expect(swath.rightMm - swath.leftMm).toBe(rules.swathMm);
    expect(margins.map(({ fromMm, toMm }) => toMm - fromMm)).toEqual([
      expect.closeTo(rules.endMarginMm, 9),
      expect.closeTo(rules.endMarginMm, 9),
    ]);
  });

  test('taps are the inner bounds of the cells', () => {
    expect(tapsOf(cells)).toEqual(law.points.map(({ travelMm }) => travelMm));
  });

  test('marks, numbers, film and ruler stand beside each other in this order at every size of text', () => {
    for (const textPx of [13, 15, 17, 24]) {
      const c = trackColumns(rules, textPx);
      const order = [c.markTextPx, c.markFromPx, c.markToPx, c.leftNumberPx, c.filmFromPx, c.filmToPx, c.rightNumberPx];
      expect([...order, c.rulerPx, c.rulerTextPx, c.widthPx]).toEqual(
        [...order, c.rulerPx, c.rulerTextPx, c.widthPx].toSorted((a, b) => a - b),
      );
    }
  });
});

test('numbers keep their distance, their order and the edges, wherever the cuts lie', () => {
  const cutsAt = fc.array(fc.double({ min: 0, max: 500, noNaN: true }), { minLength: 1, maxLength: 20 });
  fc.assert(
    fc.property(cutsAt, (places) => {
      const numbered = places.map((atPx, number) => ({ number, atPx }));
      const set = setApart(numbered, 16, 10, 490);
      expect(set.map(({ atPx }) => atPx)).toEqual(places.toSorted((a, b) => a - b));
      set.forEach(({ labelPx }, index) => {
        expect(labelPx).toBeGreaterThanOrEqual(10 - 1e-9);
        expect(labelPx).toBeLessThanOrEqual(490 + 1e-9);
        expect(labelPx - (set[index - 1]?.labelPx ?? -100)).toBeGreaterThanOrEqual(16 - 1e-9);
      });
    }),
  );
});

test('a number that has room stands at its cut', () => {
  expect(setApart([{ number: 7, atPx: 120 }], 16, 0, 500)).toEqual([{ number: 7, atPx: 120, labelPx: 120 }]);
});
