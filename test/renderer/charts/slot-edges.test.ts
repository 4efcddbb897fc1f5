import { describe, expect, test } from 'vitest';
import { deviationReachDb, slotEdges } from '../../../renderer/charts/slot-edges.ts';
import { bandAt } from '../../../src/law/band.ts';
import { programmeFader, steppedFader } from '../../report/sample-laws.ts';

describe('the slot of a law', () => {
  test('runs from the first point to the last with every point in it, in rising travel', () => {
    for (const law of [programmeFader, steppedFader]) {
      const travels = slotEdges(law).map((edge) => edge.travelMm);
      expect(travels).toEqual(travels.toSorted((a, b) => a - b));
      expect(travels).toEqual(expect.arrayContaining(law.points.map((point) => point.travelMm)));
      expect(travels[0]).toBe(law.points[0]?.travelMm);
      expect(travels.at(-1)).toBe(law.points.at(-1)?.travelMm);
    }
  });

  test('is the law’s own band, open upwards where any greater loss is allowed', () => {
    for (const edge of slotEdges(programmeFader)) {
      const band = bandAt(programmeFader, edge.travelMm);
      expect(edge).toMatchObject({ lowerDb: band?.lowerDb, upperDb: band?.upperDb });
    }
    expect(slotEdges(programmeFader)[0]?.upperDb).toBeNull();
  });

  test('knows U on and between measured points only', () => {
    const known = [
      { travelMm: 6, uncertaintyDb: 0.2 },
      { travelMm: 10.8, uncertaintyDb: 0.1 },
      { travelMm: 15.6, uncertaintyDb: null },
    ];
    const edges = slotEdges(programmeFader, known);
    const at = (travelMm: number) => edges.find((edge) => Math.abs(edge.travelMm - travelMm) < 1e-9)?.uncertaintyDb;
    expect(at(6)).toBe(0.2);
    expect(at(10.8)).toBe(0.1);
    expect(at(15.6)).toBeNull();
    expect(at(102)).toBeNull();
    const between = edges.filter((edge) => edge.travelMm > 6 && edge.travelMm < 10.8).map((edge) => edge.uncertaintyDb);
    expect(between.length).toBeGreaterThan(0);
    expect(between.every((u) => u !== null && u > 0.1 && u < 0.2)).toBe(true);
  });
});

describe('how far the axis reaches', () => {
  const edge = (lowerDb: number, upperDb: number | null) => ({ travelMm: 0, lowerDb, upperDb, uncertaintyDb: null });

  test('is four thirds of the widest limit, rounded up to a value of the scale', () => {
    expect(deviationReachDb([edge(-0.5, 0.5)])).toBe(1);
    expect(deviationReachDb([edge(-0.5, 0.5), edge(-1, 3)])).toBe(4);
    expect(deviationReachDb([edge(-3.1, 0.5)])).toBe(6);
    expect(deviationReachDb([edge(-40, 40)])).toBe(10);
  });

  test('leaves one-sided places out while there are others', () => {
    expect(deviationReachDb([edge(-9, null), edge(-0.5, 0.5)])).toBe(1);
    expect(deviationReachDb([edge(-4.5, null)])).toBe(6);
  });
});
