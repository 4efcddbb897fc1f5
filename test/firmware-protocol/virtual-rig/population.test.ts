import { mean, sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import { defaultParameters } from '../../../firmware-protocol/virtual-rig/parameters.ts';
import type { RigParameters } from '../../../firmware-protocol/virtual-rig/parameters-schema.ts';
import {
  faderFaults,
  makePopulation,
  type Population,
  type PopulationOptions,
} from '../../../firmware-protocol/virtual-rig/population.ts';
import type { Specimen } from '../../../src/fader/specimen.ts';
import { filmOhm } from '../../../src/fader/track.ts';
import { trueLossDb, trueTotalOhm } from '../../../src/fader/truth.ts';
import { bandOfPoint } from '../../../src/law/band.ts';
import { exampleLaw } from '../../../src/law/examples.ts';
import { testLaw } from './laws.ts';

const usual: PopulationOptions = {
  seed: 1,
  size: 24,
  law: testLaw,
  finish: 'raw',
  faultShare: 0,
  faults: faderFaults,
  year: 26,
  week: 48,
};

function population(
  change: Partial<PopulationOptions> = {},
  parameters: RigParameters = defaultParameters,
): Population {
  return makePopulation({ ...usual, ...change }, parameters);
}

const everyone = (p: Population): Specimen[] => Array.from({ length: p.size }, (_, i) => p.specimen(i));

/** First fader of each of many batches, so that lots, sheets and faders all differ. Seed printed on failure. */
const seedBase = 20_260;
const batches = (count: number, parameters?: RigParameters, change: Partial<PopulationOptions> = {}): Specimen[] =>
  Array.from({ length: count }, (_, i) =>
    population({ seed: seedBase + i, size: 12, ...change }, parameters).specimen(i % 12),
  );

/** Bounds of a sample standard deviation at five standard errors, sd / sqrt(2n), with 10 % for cut tails and products. */
function expectSd(values: readonly number[], sd: number, what: string): void {
  const found = sampleStandardDeviation([...values]);
  const error = 5 * (sd / Math.sqrt(2 * values.length)) + 0.1 * sd;
  expect(Math.abs(found - sd), `${what}: sd ${found} against ${sd}, seeds from ${seedBase}`).toBeLessThan(error);
}

describe('a population', () => {
  test('is the same fader by fader whatever its size and the order of asking', () => {
    const small = population({ size: 18, faultShare: 0.5 });
    const large = population({ size: 5000, faultShare: 0.5 });
    large.specimen(4321);
    expect(large.specimen(17)).toEqual(small.specimen(17));
    expect(small.specimen(3)).toEqual(large.specimen(3));
  });

  test('differs from seed to seed and from fader to fader', () => {
    const losses = [population().specimen(0), population().specimen(1), population({ seed: 2 }).specimen(0)].map((s) =>
      trueLossDb(s, 40, 'mean'),
    );
    expect(new Set(losses).size).toBe(3);
  });

  test('carries serial numbers of its part, week and order, twelve to a sheet', () => {
    const faders = everyone(population({ size: 13 }));
    expect(faders[0]?.serial).toBe('PF104-26-48-00001');
    expect(faders[12]?.serial).toBe('PF104-26-48-00013');
    expect(faders[12]?.sheet).toMatchObject({ sheet: 2, place: 1 });
  });

  test('has the share of faults asked for, only of the kinds asked for', () => {
    const size = 2000;
    const faders = everyone(population({ size, faultShare: 0.2, faults: [5, 13] }));
    const faulty = faders.filter((f) => f.faults.length > 0);
    // Binomial: five standard errors.
    expect(Math.abs(faulty.length / size - 0.2), 'seed 1').toBeLessThan(5 * Math.sqrt((0.2 * 0.8) / size));
    expect(new Set(faulty.map((f) => f.faults[0]?.kind))).toEqual(new Set([5, 13]));
  });

  test('refuses what cannot be', () => {
    expect(() => population({ size: 0 })).toThrow(RangeError);
    expect(() => population().specimen(24)).toThrow(/there is no fader 24/);
    expect(() => population({ law: { ...testLaw, points: [] } })).toThrow(RangeError);
  });

  test('serves a law of another length with a scaled part', () => {
    const law = {
      ...testLaw,
      id: 'ZZ-52',
      travelMm: 52,
      points: testLaw.points.map((p) => ({ ...p, travelMm: p.travelMm / 2 + 1 })),
    };
    const fader = population({ law }).specimen(0);
    expect(fader.serial).toMatch(/^ZZ52-/);
    expect(fader.track.openEdgeMm).toBeLessThan(52);
  });
});

describe('spreads of raw prints over many batches', () => {
  const count = 800;
  const faders = batches(count);
  const { track, wiper } = defaultParameters;

  test('total resistance is low on average and spreads as batch, sheet, powder and cure together', () => {
    const totals = faders.map((f) => filmOhm(f.track) / 10_000);
    const sd = Math.hypot(
      track.batchSd,
      track.withinSheetSd,
      0.03 * track.powderSdPercent,
      0.01 * (track.cureSdSeconds / 10),
    );
    // Ink, ripple and slope do not average out over one track; they add what the film's own weights leave of them.
    const found = sampleStandardDeviation(totals.map((t) => t / 0.85));
    expect(found, `seeds from ${seedBase}`).toBeGreaterThan(sd * 0.9);
    expect(found, `seeds from ${seedBase}`).toBeLessThan(Math.hypot(sd, track.inkSd, track.rippleSd, 0.04) * 1.1);
    expect(Math.abs(mean(totals) / 0.85 - 1), `seeds from ${seedBase}`).toBeLessThan(
      (5 * found) / Math.sqrt(count) + 0.005,
    );
  });

  test('conductor edges lie evenly in their range', () => {
    const edges = faders.map((f) => f.track.closedEdgeMm - 0.8);
    for (const edge of edges) expect(Math.abs(edge)).toBeLessThanOrEqual(0.15);
    expectSd(edges, 0.15 / Math.sqrt(3), 'closed edge');
  });

  test('ink joints shift', () => {
    expectSd(
      faders.map((f) => f.track.jointMm[0] - 16),
      track.jointSdMm,
      'joint',
    );
  });

  test('fingers differ log-normally in resistance and normally in place', () => {
    const fingers = faders.flatMap((f) => f.wiper.fingers);
    expectSd(
      fingers.map((f) => Math.log((f.ohm ?? 0) / wiper.fingerOhm)),
      wiper.fingerLogSd,
      'finger resistance',
    );
    expectSd(
      fingers.map((f) => f.offsetMm),
      wiper.placeSdMm,
      'finger place',
    );
    expect(faders[0]?.wiper.fingers).toHaveLength(8);
  });

  test('ends, common lead, play and film stay in their ranges', () => {
    for (const f of faders) {
      expect(f.ends.closedOhm).toBeGreaterThanOrEqual(0.3);
      expect(f.ends.closedOhm).toBeLessThanOrEqual(3);
      expect(f.ends.commonLeadOhm).toBeLessThanOrEqual(0.1);
      expect(f.slide.playMm).toBeGreaterThanOrEqual(0.02);
      expect(f.slide.playMm).toBeLessThanOrEqual(0.08);
      expect(f.wiper.filmFraction).toBeLessThanOrEqual(0.4);
    }
  });

  test('slope alone, everything else silent, has the stated spread and opposite signs across the herringbone', () => {
    const quiet: RigParameters = {
      ...defaultParameters,
      track: {
        ...track,
        batchSd: 0,
        withinSheetSd: 0,
        rippleSd: 0,
        inkSd: 0,
        jointSdMm: 0,
        edgeHalfRangeMm: 0,
        powderSdPercent: 0,
        cureSdSeconds: 0,
      },
    };
    // Local film relative to the artwork at two places gives the slope back exactly.
    const localFactor = (f: Specimen, mm: number): number => {
      const at = (place: number): number =>
        trueLossDb(
          {
            ...f,
            wiper: { ...f.wiper, fingers: [{ ohm: 100, offsetMm: 0, filmShare: 1 }] },
            ends: { closedOhm: 0, openOhm: 0, commonLeadOhm: 0, swapped: false },
          },
          place,
          'mean',
        );
      const ohm = (place: number): number => trueTotalOhm(f) * 10 ** (-at(place) / 20);
      return ohm(mm + 0.5) - ohm(mm - 0.5);
    };
    const flat = population({}, { ...quiet, track: { ...quiet.track, slopeSdPer100Mm: 0 } }).specimen(0);
    const slopes = batches(400, quiet).map((f) => {
      const bent = (mm: number): number => localFactor(f, mm) / localFactor(flat, mm);
      return (100 * (bent(90) / bent(60) - 1)) / 30;
    });
    expectSd(slopes, track.slopeSdPer100Mm, 'slope per 100 mm');
  });

  test('ripple alone has the stated spread and forgets itself over 8 to 15 mm', () => {
    const quiet: RigParameters = {
      ...defaultParameters,
      track: {
        ...track,
        batchSd: 0,
        withinSheetSd: 0,
        slopeSdPer100Mm: 0,
        inkSd: 0,
        jointSdMm: 0,
        edgeHalfRangeMm: 0,
        powderSdPercent: 0,
        cureSdSeconds: 0,
      },
    };
    const flat = population({}, { ...quiet, track: { ...quiet.track, rippleSd: 0 } }).specimen(0);
    const cell = (f: Specimen, mm: number): number => {
      const k = f.track.boundaryMm.findIndex((b) => b >= mm);
      return (f.track.cumulativeOhm[k] ?? 0) - (f.track.cumulativeOhm[k - 1] ?? 0);
    };
    const ripples = batches(600, quiet).map((f) => [60, 72, 100].map((mm) => Math.log(cell(f, mm) / cell(flat, mm))));
    const at = (k: number): number[] => ripples.map((r) => r[k] ?? Number.NaN);
    expectSd(at(0), track.rippleSd, 'ripple');
    const correlation = (k: number): number => {
      const [a, b] = [at(0), at(k)];
      return mean(a.map((v, i) => v * (b[i] ?? 0))) / track.rippleSd ** 2;
    };
    // exp(-12/8) = 0.22, exp(-12/15) = 0.45; five standard errors of 1/sqrt(600).
    expect(correlation(1), `seeds from ${seedBase}`).toBeGreaterThan(0.22 - 0.2);
    expect(correlation(1), `seeds from ${seedBase}`).toBeLessThan(0.45 + 0.2);
    expect(Math.abs(correlation(2)), `seeds from ${seedBase}`).toBeLessThan(0.07 + 0.2);
  });
});

describe('tracks printed for trimming', () => {
  const law = exampleLaw('PF-104');
  const rigLaw = { ...testLaw, points: law.points, id: 'PF-104' } as const;
  const faders = batches(600, undefined, { law: rigLaw, finish: 'trimming' });

  /** A fader an ideal instrument would pass: every point in its band, the total in its limits. */
  const conforms = (fader: Specimen): boolean => {
    const { nominalOhm, toleranceFraction } = law.resistance;
    const total = trueTotalOhm(fader);
    if (Math.abs(total / nominalOhm - 1) > toleranceFraction) return false;
    return law.points.every((_, i) => {
      const { lossDb, lowerDb, upperDb, travelMm } = { ...bandOfPoint(law, i), travelMm: law.points[i]?.travelMm ?? 0 };
      const deviation = trueLossDb(fader, travelMm, 'mean') - lossDb;
      return deviation >= lowerDb && (upperDb === null || deviation <= upperDb);
    });
  };

  test('hardly ever follow their law as they are', () => {
    const share = faders.filter(conforms).length / faders.length;
    // About 5 in 100 over many batches, measured without any uncertainty; 600 of them: five standard errors more.
    expect(share, `seeds from ${seedBase}`).toBeLessThan(0.05 + 5 * Math.sqrt((0.05 * 0.95) / faders.length));
  });

  test('are as low as raw ones', () => {
    const level = mean(faders.map((f) => filmOhm(f.track) / 10_000));
    expect(Math.abs(level - defaultParameters.track.printLevel), `seeds from ${seedBase}`).toBeLessThan(0.05);
  });

  test('ripple more than raw ones', () => {
    expect(defaultParameters.trimming.rippleSd).toBeGreaterThan(defaultParameters.track.rippleSd);
  });
});

describe('seeded faults, one kind at a time', () => {
  const one = (kind: number, seed = 3): Specimen => {
    const kinds = faderFaults.concat(14).filter((k) => k === kind);
    return population({ seed, faultShare: 1, faults: kinds }).specimen(0);
  };
  const sound = (seed = 3): Specimen => population({ seed }).specimen(0);
  const seeds = Array.from({ length: 20 }, (_, i) => 100 + i);

  test('1 to 4 and 9 bend the law, each in its own size', () => {
    for (const kind of [1, 2, 3, 4, 9])
      for (const seed of seeds) {
        const bent = one(kind, seed);
        const straight = sound(seed);
        const change = Math.max(
          ...[10, 20, 30, 40, 50, 60, 70, 80, 90, 100].map((mm) =>
            Math.abs(trueLossDb(bent, mm, 'mean') - trueLossDb(straight, mm, 'mean')),
          ),
          Math.abs(trueTotalOhm(bent) / trueTotalOhm(straight) - 1),
        );
        expect(change, `fault ${kind}, seed ${seed}`).toBeGreaterThan(1e-4);
      }
  });

  test('5 lifts the floor at the closed end or the loss at the open end', () => {
    for (const seed of seeds) {
      const fader = one(5, seed);
      const closed = trueLossDb(fader, 0, 'down') < trueLossDb(sound(seed), 0, 'down') - 10;
      const open = trueLossDb(fader, 104, 'up') > trueLossDb(sound(seed), 104, 'up') + 0.01;
      expect(closed || open, `seed ${seed}`).toBe(true);
    }
  });

  test('6 is loud when closed', () => {
    expect(trueLossDb(one(6), 0, 'down')).toBeLessThan(0.1);
    expect(trueLossDb(one(6), 104, 'up')).toBeGreaterThan(60);
  });

  test('7 adds film that strokes take away, 11 takes fingers, 13 gives play', () => {
    expect(one(7).wiper.filmFraction).toBeGreaterThanOrEqual(2);
    expect(one(7).wiper.strokesToClean).toBeGreaterThan(sound().wiper.strokesToClean);
    const lost = one(11).wiper.fingers.filter((f) => f.ohm === null).length;
    expect(lost).toBeGreaterThanOrEqual(1);
    expect(lost).toBeLessThanOrEqual(6);
    expect(one(13).slide.playMm).toBeGreaterThanOrEqual(0.3);
  });

  test('8, 10, 12 and 14 leave the truth alone: they come and go, or belong to the clamp', () => {
    for (const kind of [8, 10, 12, 14]) {
      expect(one(kind).faults[0]?.kind).toBe(kind);
      expect(trueLossDb(one(kind), 50, 'up')).toBe(trueLossDb(sound(), 50, 'up'));
    }
  });
});
