import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ratioAtWiper, settledContact, totalOhm } from '../../src/fader/contact.ts';
import type { Finger } from '../../src/fader/specimen.ts';
import { targetProfile } from '../../src/fader/target-profile.ts';
import { filmOhm, filmOhmBelow } from '../../src/fader/track.ts';
import { trueElectricalEndsMm, trueLossDb, trueRatio, trueTotalOhm } from '../../src/fader/truth.ts';
import { nominalOhm, perfectFader, testPoints } from './perfect-fader.ts';

const perfect = perfectFader();
const wiper = perfect.wiper;
const finger = (offsetMm: number, ohm: number | null = 100): Finger => ({ ohm, offsetMm, filmShare: 1 });

describe('a perfect fader', () => {
  test('follows its law at every point', () => {
    for (const point of testPoints)
      expect(Math.abs(trueLossDb(perfect, point.travelMm, 'mean') - point.lossDb)).toBeLessThan(1e-6);
  });

  test('runs straight in dB between the points', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: testPoints.length - 1 }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (i, share) => {
          const a = testPoints[i - 1] ?? { travelMm: 0, lossDb: 0 };
          const b = testPoints[i] ?? a;
          const travelMm = a.travelMm + share * (b.travelMm - a.travelMm);
          const lossDb = a.lossDb + share * (b.lossDb - a.lossDb);
          // Within a cell of 0.05 mm the film is even: sagitta of the exponential, (slope h)^2 / 8 of the value.
          const slope = (Math.log(10) / 20) * ((a.lossDb - b.lossDb) / (b.travelMm - a.travelMm));
          const sagDb = (20 / Math.log(10)) * ((slope * 0.05) ** 2 / 8);
          expect(Math.abs(trueLossDb(perfect, travelMm, 'mean') - lossDb)).toBeLessThan(1.1 * sagDb + 1e-9);
        },
      ),
    );
  });

  test('runs straight in ratio to nothing at the closed conductor and to all at the open one', () => {
    const first = trueRatio(perfect, 10, 'mean');
    expect(trueRatio(perfect, 5.4, 'mean')).toBeCloseTo(first / 2, 9);
    expect(trueRatio(perfect, 0.8, 'mean')).toBe(0);
    expect(trueRatio(perfect, 0, 'mean')).toBe(0);
    expect(trueRatio(perfect, 103, 'mean')).toBe(1);
    expect(trueTotalOhm(perfect)).toBeCloseTo(nominalOhm, 6);
    expect(trueElectricalEndsMm(perfect)).toEqual({ closedMm: 0.8, openMm: 102.9 });
  });

  test('as a stepped one is constant on each contact', () => {
    const stepped = perfectFader({ interpolation: 'stepped' });
    expect(trueLossDb(stepped, 20.013, 'mean')).toBeCloseTo(40, 6);
    expect(trueLossDb(stepped, 25, 'mean')).toBeCloseTo(40, 6);
    expect(trueLossDb(stepped, 39, 'mean')).toBeCloseTo(40, 6);
    expect(trueLossDb(stepped, 41, 'mean')).toBeCloseTo(15, 6);
  });
});

describe('any track', () => {
  const factors = fc.array(fc.double({ min: 0.3, max: 3, noNaN: true }), { minLength: 10, maxLength: 10 });

  test('conserves resistance: what lies below and above a place makes the whole, and ratios never fall with travel', () => {
    fc.assert(
      fc.property(
        factors,
        fc.double({ min: 0, max: 104, noNaN: true }),
        fc.double({ min: 0, max: 104, noNaN: true }),
        (f, a, b) => {
          const fader = perfectFader({
            factorAt: (mm) => f[Math.min(9, Math.floor(mm / 10.4))] ?? 1,
            closedOhm: 2,
            openOhm: 1,
          });
          const below = filmOhmBelow(fader.track, a);
          const upTo = filmOhm(fader.track);
          expect(below).toBeGreaterThanOrEqual(0);
          expect(below).toBeLessThanOrEqual(upTo);
          expect(trueRatio(fader, a, 'mean') * totalOhm(fader)).toBeCloseTo(2 + below, 6);
          const [low, high] = a < b ? [a, b] : [b, a];
          expect(trueRatio(fader, low, 'mean')).toBeLessThanOrEqual(trueRatio(fader, high, 'mean'));
        },
      ),
    );
  });

  test('scaled as a whole keeps every ratio and changes only its total', () => {
    const low = perfectFader({ factorAt: () => 0.85 });
    expect(trueLossDb(low, 37, 'mean')).toBeCloseTo(trueLossDb(perfect, 37, 'mean'), 9);
    expect(trueTotalOhm(low)).toBeCloseTo(0.85 * nominalOhm, 6);
  });

  test('warm by 1 K loses 300 ppm of its middle ink, and the inks apart shift the ratio by their difference only', () => {
    const warm = { ...settledContact, deltaK: 10 };
    expect(totalOhm(perfect, 10) / totalOhm(perfect)).toBeCloseTo(1 - 3e-3, 3);
    const change = ratioAtWiper(perfect, 40, warm) / ratioAtWiper(perfect, 40) - 1;
    expect(Math.abs(change)).toBeGreaterThan(1e-6);
    expect(Math.abs(change)).toBeLessThan(20e-6 * 10);
  });

  test('end resistances set the floor and the loss when open', () => {
    const fader = perfectFader({ closedOhm: 1, openOhm: 10 });
    expect(trueLossDb(fader, 0, 'down')).toBeCloseTo(20 * Math.log10(10_011), 6);
    expect(trueLossDb(fader, 104, 'up')).toBeCloseTo(20 * Math.log10(10_011 / 10_001), 6);
  });
});

describe('a wiper', () => {
  test('with play reads later places going down than going up, and the mean lies between', () => {
    const loose = perfectFader({ specimen: { slide: { ...perfect.slide, playMm: 0.06 } } });
    expect(trueLossDb(loose, 40, 'up')).toBeCloseTo(trueLossDb(perfect, 39.97, 'mean'), 9);
    expect(trueLossDb(loose, 40, 'down')).toBeCloseTo(trueLossDb(perfect, 40.03, 'mean'), 9);
    const mean = (trueLossDb(loose, 40, 'up') + trueLossDb(loose, 40, 'down')) / 2;
    expect(trueLossDb(loose, 40, 'mean')).toBeCloseTo(mean, 12);
  });

  test('averages its fingers with their conductances', () => {
    const two = perfectFader({ specimen: { wiper: { ...wiper, fingers: [finger(-0.1), finger(0.3, 300)] } } });
    const expected = (3 * trueRatio(perfect, 39.9, 'mean') + trueRatio(perfect, 40.3, 'mean')) / 4;
    expect(trueRatio(two, 40, 'mean')).toBeCloseTo(expected, 12);
  });

  test('that loses fingers shifts towards those that are left', () => {
    const left = perfectFader({ specimen: { wiper: { ...wiper, fingers: [finger(-0.1, null), finger(0.1)] } } });
    expect(trueRatio(left, 40, 'mean')).toBeCloseTo(trueRatio(perfect, 40.1, 'mean'), 12);
  });

  test('under a load reads low by the source resistance R y (1 - y) plus contact', () => {
    const y = trueRatio(perfect, 80, 'mean');
    const loadOhm = 1e6;
    const loaded = ratioAtWiper(perfect, 80, { ...settledContact, loadOhm });
    expect(loaded).toBeCloseTo(y / (1 + (nominalOhm * y * (1 - y) + 100) / loadOhm), 12);
  });

  test('with its ends swapped gives one minus the ratio', () => {
    const swapped = perfectFader({ specimen: { ends: { ...perfect.ends, swapped: true } } });
    expect(trueRatio(swapped, 60, 'mean')).toBeCloseTo(1 - trueRatio(perfect, 60, 'mean'), 12);
  });
});

describe('a law that cannot be printed', () => {
  test.each([
    ['with one point', [{ travelMm: 10, lossDb: 3 }]],
    [
      'whose loss rises with travel',
      [
        { travelMm: 10, lossDb: 3 },
        { travelMm: 20, lossDb: 6 },
      ],
    ],
    [
      'whose points are out of order',
      [
        { travelMm: 20, lossDb: 30 },
        { travelMm: 10, lossDb: 20 },
      ],
    ],
  ])('%s is refused', (_what, points) => {
    expect(() => targetProfile(points, 0.8, 102.9)).toThrow(RangeError);
  });
});
