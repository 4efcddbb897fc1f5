/** Random valid laws for property tests. */
import * as fc from 'fast-check';
import { buildLaw, type Law } from '../../src/law/build.ts';

const hundredth = (min: number, max: number) =>
  fc.integer({ min: Math.round(min * 100), max: Math.round(max * 100) }).map((n) => n / 100);
/** Any double in the range, so that round trips meet awkward digits. */
const anyDouble = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const printable = fc
  .string({ unit: 'grapheme', minLength: 1, maxLength: 4 })
  .filter((text) => text.trim() === text && text.length <= 12 && !/^[=@]/.test(text))
  .filter((text) => !/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\uFFFD]/u.test(text));

export function randomLaw(interpolation: Law['interpolation'] = 'dbLinear'): fc.Arbitrary<Law> {
  return fc
    .record({
      travelMm: hundredth(20, 200),
      gaps: fc.array(anyDouble(0.02, 1), { minLength: 3, maxLength: 40 }),
      drops: fc.array(anyDouble(0.01, 1), { minLength: 40, maxLength: 40 }),
      spanDb: anyDouble(5, 120),
      tolerances: fc.array(fc.tuple(anyDouble(0.01, 6), anyDouble(0.01, 6), fc.option(anyDouble(0, 0.5))), {
        minLength: 40,
        maxLength: 40,
      }),
      oneSided: fc.nat(3),
      marks: fc.uniqueArray(fc.tuple(hundredth(0, 20), printable), { selector: ([mm]) => mm, maxLength: 8 }),
      loadOhm: fc.option(anyDouble(1000, 1e7)),
      maxPlayMm: fc.option(anyDouble(0.01, 1)),
    })
    .map((r) => {
      // n gaps make n - 1 points strictly inside the travel.
      const room = r.gaps.reduce((a, b) => a + b, 0);
      const drop = r.drops.slice(0, r.gaps.length).reduce((a, b) => a + b, 0);
      let place = 0;
      let fallen = 0;
      const points = r.gaps.slice(1).map((_gap, i) => {
        place += r.gaps[i] ?? 0;
        fallen += r.drops[i] ?? 0;
        const [minusDb, plusDb, tol] = r.tolerances[i] ?? [1, 1, null];
        return {
          travelMm: (place / room) * r.travelMm,
          lossDb: r.spanDb * (1 - fallen / drop),
          minusDb,
          plusDb: i < r.oneSided ? null : plusDb,
          ...(tol === null ? {} : { travelTolMm: tol }),
        };
      });
      return buildLaw({
        id: 'RANDOM-1',
        revision: 3,
        title: 'Random law',
        travelMm: r.travelMm,
        points,
        closedMinLossDb: 130,
        openMaxLossDb: 0,
        resistance: { nominalOhm: 10_000, toleranceFraction: 0.2 },
        loadOhm: r.loadOhm,
        interpolation,
        marks: [...r.marks].sort((a, b) => a[0] - b[0]).map(([travelMm, text]) => ({ travelMm, text })),
        limits: r.maxPlayMm === null ? {} : { maxPlayMm: r.maxPlayMm },
      });
    });
}

/** A law and a travel inside the range of its points. */
export function lawAndTravel(interpolation: Law['interpolation'] = 'dbLinear'): fc.Arbitrary<readonly [Law, number]> {
  return fc.tuple(randomLaw(interpolation), fc.double({ min: 0, max: 1, noNaN: true })).map(([law, share]) => {
    const first = law.points[0]?.travelMm ?? 0;
    const last = law.points.at(-1)?.travelMm ?? 0;
    return [law, Math.min(last, first + share * (last - first))] as const;
  });
}
