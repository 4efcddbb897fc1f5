import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isZeroMark, markText, placedMarks, ticksBetween } from '../../../renderer/charts/travel-ticks.ts';
import { programmeFader } from '../../report/sample-laws.ts';

describe('ticks of the scale', () => {
  test('stand every 2 mm, longer every 10 mm, at both ends too', () => {
    const ticks = ticksBetween(0, 104);
    expect(ticks).toHaveLength(53);
    expect(ticks.filter((tick) => tick.isTen).map((tick) => tick.travelMm)).toEqual([
      0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 100,
    ]);
    expect(ticks.at(-1)).toEqual({ travelMm: 104, isTen: false });
  });

  test('of a small view are those that lie in it', () => {
    expect(ticksBetween(3.1, 8.2).map((tick) => tick.travelMm)).toEqual([4, 6, 8]);
    expect(ticksBetween(2.1, 3.9)).toEqual([]);
  });

  test('of a very long travel are the tens, before they would be a grey bar', () => {
    expect(ticksBetween(0, 1000).every((tick) => tick.isTen)).toBe(true);
    expect(ticksBetween(0, 100_000)).toEqual([]);
  });

  test('of an empty or impossible range are none', () => {
    expect(ticksBetween(10, 10)).toEqual([]);
    expect(ticksBetween(10, 0)).toEqual([]);
    expect(ticksBetween(Number.NaN, 10)).toEqual([]);
  });
});

describe('marks of the scale', () => {
  const place = (pxPerMm: number) =>
    placedMarks(
      programmeFader.marks,
      (mm) => mm * pxPerMm,
      (text) => text.length * 9 + 10,
    );

  test('all stand where there is room, in the order of travel', () => {
    const marks = place(8);
    expect(marks).toHaveLength(programmeFader.marks.length);
    expect(marks.map((mark) => mark.travelMm)).toEqual([0, 6, 12, 18, 30, 42, 54, 66, 78, 90, 102]);
  });

  test('never touch, and the 0 stays however narrow it gets', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 10, noNaN: true }), (pxPerMm) => {
        const marks = place(pxPerMm);
        expect(marks.some((mark) => mark.isZero)).toBe(true);
        marks.forEach((mark, index) => {
          const before = marks[index - 1];
          if (before === undefined) return;
          const half = (text: string): number => (text.length * 9 + 10) / 2;
          expect(mark.atPx - before.atPx).toBeGreaterThanOrEqual(half(mark.text) + half(before.text) - 1e-9);
        });
      }),
    );
  });

  test('are printed with a true minus', () => {
    expect(markText('-20')).toBe('\u221220');
    expect(markText('+5')).toBe('+5');
    expect(markText('off')).toBe('off');
  });

  test('know the 0 in every way it is printed, and nothing else', () => {
    expect(['0', '+0', '-0', '\u22120', ' 0 '].every(isZeroMark)).toBe(true);
    expect(['10', '00', '\u221e', '', '-5'].some(isZeroMark)).toBe(false);
  });
});
