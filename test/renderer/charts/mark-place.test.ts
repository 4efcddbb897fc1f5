import { describe, expect, test } from 'vitest';
import { type MarkRoom, markMiddlePx } from '../../../renderer/charts/mark-place.ts';

const room: MarkRoom = {
  readingPx: 260,
  zeroPx: 200,
  firstPx: 0,
  lastPx: 400,
  awayPx: 24,
  halfPx: 10,
  isInward: true,
};

describe('the shape of a verdict beside its reading', () => {
  test('a pass stands on the side of zero, where the slot is clear', () => {
    expect(markMiddlePx(room)).toBe(236);
    expect(markMiddlePx({ ...room, readingPx: 140 })).toBe(164);
  });

  test('what does not pass stands on the far side, off the curve', () => {
    expect(markMiddlePx({ ...room, isInward: false })).toBe(284);
    expect(markMiddlePx({ ...room, readingPx: 140, isInward: false })).toBe(116);
  });

  test('a reading at the end of the axis has its shape on the other side', () => {
    expect(markMiddlePx({ ...room, readingPx: 400, isInward: false })).toBe(376);
    expect(markMiddlePx({ ...room, readingPx: 0, isInward: false })).toBe(24);
  });
});
