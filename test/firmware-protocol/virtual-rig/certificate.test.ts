import { mean, sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import { type Certificate, certify } from '../../../firmware-protocol/virtual-rig/certificate.ts';
import { defaultParameters } from '../../../firmware-protocol/virtual-rig/parameters.ts';
import { drawTraits, type RigTraits } from '../../../firmware-protocol/virtual-rig/traits.ts';
import { Random } from '../../../src/fader/random.ts';

const count = 600;
const pairs = Array.from({ length: count }, (_, seed) => {
  const random = new Random(seed);
  const traits = drawTraits(defaultParameters, random.sub('traits'));
  return {
    traits,
    certificate: certify(
      traits,
      defaultParameters,
      '2026-11-25T08:00:00Z',
      '2027-11-25T08:00:00Z',
      random.sub('certificate'),
    ),
  };
});

const scores = (of: (traits: RigTraits, certificate: Certificate) => number): number[] =>
  pairs.map(({ traits, certificate }) => of(traits, certificate));

describe('the certificate of a virtual rig', () => {
  test('is off by its stated uncertainties, no more and no less', () => {
    const countsPerUv = (t: RigTraits): number => 8_388_608 / (t.excitationV * 1e6);
    const errors: Record<string, number[]> = {
      zero: scores((t, c) => (c.position.zeroMm + t.datumMm) / c.position.uZeroMm),
      scale: scores((t, c) => (c.position.scale - 1 - t.scaleError) / c.position.uScale),
      backlash: scores((t, c) => (c.position.backlashMm - t.backlashMm) / c.position.uBacklashMm),
      offset: scores((t, c) => (c.meter.offsetCounts - t.wiper.offsetUv * countsPerUv(t)) / c.meter.uOffsetCounts),
      gain: scores((t, c) => (c.meter.gain / ((1 + t.wiper.gainError) / (1 + t.track.gainError)) - 1) / 20e-6),
    };
    for (const [name, values] of Object.entries(errors)) {
      expect(Math.abs(mean(values)), name).toBeLessThan(5 / Math.sqrt(count));
      expect(Math.abs(sampleStandardDeviation(values) - 1), name).toBeLessThan(5 / Math.sqrt(2 * count));
    }
  });

  test('is the same however often it is asked for', () => {
    const random = new Random(1);
    const traits = drawTraits(defaultParameters, random.sub('traits'));
    const twice = [0, 1].map(() => certify(traits, defaultParameters, 'a', 'b', random.sub('certificate')));
    expect(twice[1]).toEqual(twice[0]);
  });
});
