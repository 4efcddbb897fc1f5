import { mean, sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import { Meter } from '../../../firmware-protocol/virtual-rig/meter.ts';
import { defaultParameters } from '../../../firmware-protocol/virtual-rig/parameters.ts';
import type { RigParameters } from '../../../firmware-protocol/virtual-rig/parameters-schema.ts';
import { drawTraits, type RigTraits } from '../../../firmware-protocol/virtual-rig/traits.ts';
import { Random } from '../../../src/fader/random.ts';

const ideal: RigTraits = {
  ...drawTraits(defaultParameters, new Random(1)),
  wiper: { gainError: 0, gainDriftPerK: 0, offsetUv: 0, nonLinearity: 0 },
  track: { gainError: 0, gainDriftPerK: 0, offsetUv: 0, nonLinearity: 0 },
  excitationV: 5,
  mainsHz: 50,
};
const countsPerUv = 8_388_608 / 5e6;

function meterWith(change: Partial<RigParameters['meter']>, traits: RigTraits = ideal): Meter {
  return new Meter({ ...defaultParameters, meter: { ...defaultParameters.meter, ...change } }, traits, new Random(7));
}

const series = (meter: Meter, integrationUs: number, count: number, gapUs = 1370): number[] =>
  Array.from({ length: count }, (_, i) => meter.convert('wiper', 0.4, i * gapUs, integrationUs, 22).counts);

describe('the converter', () => {
  test('gives counts in proportion to the reference', () => {
    const quiet = meterWith({ noiseUv: 0, humMv: 0 });
    expect(quiet.convert('wiper', 0, 0, 20_000, 22).counts).toBe(0);
    expect(quiet.convert('wiper', 0.5, 0, 20_000, 22).counts).toBe(4_194_304);
  });

  test('says over range instead of wrapping round', () => {
    const quiet = meterWith({ noiseUv: 0, humMv: 0 });
    expect(quiet.convert('track', 1.01, 0, 20_000, 22)).toEqual({ counts: 8_388_607, overRange: true });
  });

  test('does not see the mains over whole cycles, sees it whole in a short conversion', () => {
    const hum = meterWith({ noiseUv: 0 });
    for (const integrationUs of [20_000, 40_000, 100_000])
      expect(sampleStandardDeviation(series(hum, integrationUs, 60))).toBeLessThan(0.5);
    // 2 mV peak with harmonics of 0.3 and 0.15: rms 2 sqrt((1 + 0.09 + 0.0225) / 2) mV.
    const rms = 2000 * Math.sqrt((1 + 0.3 ** 2 + 0.15 ** 2) / 2) * countsPerUv;
    expect(sampleStandardDeviation(series(hum, 100, 400, 1310)) / rms).toBeCloseTo(1, 1);
    // Half a cycle leaves 2 / pi of the fundamental.
    expect(sampleStandardDeviation(series(hum, 10_000, 400, 1310)) / rms).toBeGreaterThan(0.5);
  });

  test('is as noisy as stated at 20 ms and ten times so at a hundredth of it', () => {
    const noise = meterWith({ humMv: 0 });
    const count = 4000;
    for (const [integrationUs, uv] of [
      [20_000, 1.5],
      [100_000, 1.5],
      [200, 15],
    ] as const) {
      const sd = sampleStandardDeviation(series(noise, integrationUs, count)) / countsPerUv;
      // Rounding to a count of 0.6 uV adds 0.17 uV rms; five standard errors of a standard deviation.
      const expected = Math.hypot(uv, 0.596 / Math.sqrt(12));
      expect(Math.abs(sd / expected - 1), `seed 7, ${integrationUs} us`).toBeLessThan(5 / Math.sqrt(2 * count));
    }
  });

  test('has the gain, drift, offset and bend it was made with', () => {
    const made = (wiper: RigTraits['wiper']): Meter => meterWith({ noiseUv: 0, humMv: 0 }, { ...ideal, wiper });
    const none = { gainError: 0, gainDriftPerK: 0, offsetUv: 0, nonLinearity: 0 };
    expect(made({ ...none, gainError: 300e-6 }).convert('wiper', 0.5, 0, 20_000, 22).counts).toBe(4_195_562);
    expect(made({ ...none, gainDriftPerK: 5e-6 }).convert('wiper', 0.5, 0, 20_000, 24).counts).toBe(4_194_346);
    expect(made({ ...none, offsetUv: 20 }).convert('wiper', 0, 0, 20_000, 22).counts).toBe(34);
    const bent = made({ ...none, nonLinearity: 5e-6 });
    const worst = Math.max(
      ...Array.from(
        { length: 101 },
        (_, i) => bent.convert('wiper', i / 101, 0, 20_000, 22).counts - Math.round((i / 101) * 8_388_608),
      ),
    );
    expect(worst).toBe(42);
  });

  test('averages to the truth', () => {
    const noise = meterWith({});
    const values = series(noise, 20_000, 400);
    expect(Math.abs(mean(values) - 0.4 * 8_388_608), 'seed 7').toBeLessThan(5 * (2.6 / Math.sqrt(400)) + 0.5);
  });
});
