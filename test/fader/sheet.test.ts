import { describe, expect, test } from 'vitest';
import { sheetPositionOf, sheetShapes, tracksPerSheet } from '../../src/fader/sheet.ts';

const firstSheet = Array.from({ length: tracksPerSheet }, (_, i) => sheetPositionOf(i + 1));

describe('a sheet of tracks', () => {
  test('holds twelve, and the thirteenth begins the next', () => {
    expect(sheetPositionOf(12)).toMatchObject({ sheet: 1, place: 12 });
    expect(sheetPositionOf(13)).toMatchObject({ sheet: 2, place: 1 });
  });

  test('is a herringbone: neighbours point opposite ways, six each', () => {
    firstSheet.forEach((position, i) => {
      const beside = firstSheet[i % 2 === 0 ? i + 1 : i - 1];
      const below = firstSheet[i + 2];
      expect(beside?.pointing).toBe(-position.pointing);
      if (below) expect(below.pointing).toBe(-position.pointing);
    });
    expect(firstSheet.reduce((sum, p) => sum + p.pointing, 0)).toBe(0);
  });

  test('its shapes have mean 0 and mean square 1, so that a spread keeps its size', () => {
    for (const k of [0, 1, 2]) {
      const values = firstSheet.map((p) => sheetShapes(p)[k] ?? Number.NaN);
      expect(values.reduce((a, b) => a + b, 0) / 12).toBeCloseTo(0, 12);
      expect(values.reduce((a, b) => a + b * b, 0) / 12).toBeCloseTo(1, 12);
    }
  });

  test('has no place for a running number below one', () => {
    expect(() => sheetPositionOf(0)).toThrow(RangeError);
    expect(() => sheetPositionOf(1.5)).toThrow(RangeError);
  });
});
