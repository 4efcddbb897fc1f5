import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type EndSample, findEnd } from '../../src/verdict/ends.ts';

/** A glide over an end: level on the conductor, then straight, with the noise and gaps asked for. */
function glide(shape: {
  readonly edgeUm: number;
  readonly end: 'closed' | 'open';
  readonly perUm: number;
  readonly noise: readonly number[];
  readonly gaps: readonly number[];
}): EndSample[] {
  const { edgeUm, end, perUm, noise, gaps } = shape;
  const samples: EndSample[] = [];
  for (let i = 0; i < 31; i += 1) {
    if (gaps.includes(i)) continue;
    const positionUm = (end === 'closed' ? 0 : 101_000) + 100 * i;
    const beyond = end === 'closed' ? Math.max(0, positionUm - edgeUm) : Math.min(0, positionUm - edgeUm);
    const level = end === 'closed' ? 2_000 : 8_000_000;
    samples.push({ positionUm, wiperCounts: Math.round(level + perUm * beyond + (noise[i] ?? 0)) });
  }
  return samples;
}
const noiseOf = fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 31, maxLength: 31 });
const gapsOf = fc.uniqueArray(fc.integer({ min: 0, max: 30 }), { maxLength: 5 });

describe('electrical ends', () => {
  it('are found within a tenth of a millimetre through noise and gaps', () => {
    fc.assert(
      fc.property(fc.integer({ min: 700, max: 2_000 }), noiseOf, gapsOf, fc.boolean(), (edge, noise, gaps, isOpen) => {
        const end = isOpen ? 'open' : 'closed';
        const edgeUm = isOpen ? 104_000 - edge : edge;
        const found = findEnd(glide({ edgeUm, end, perUm: 2, noise, gaps }), end);
        expect(found.reason).toBeNull();
        expect(Math.abs((found.positionUm ?? Number.NaN) - edgeUm)).toBeLessThan(100);
      }),
    );
  });

  it('do not depend on the direction of the glide', () => {
    const samples = glide({ edgeUm: 800, end: 'closed', perUm: 2, noise: [], gaps: [] });
    expect(findEnd(samples.toReversed(), 'closed')).toEqual(findEnd(samples, 'closed'));
  });

  it('are found on a fader whose ends are swapped', () => {
    const swapped = glide({ edgeUm: 800, end: 'closed', perUm: 2, noise: [], gaps: [] }).map((s) => ({
      ...s,
      wiperCounts: 8_000_000 - s.wiperCounts,
    }));
    expect(findEnd(swapped, 'closed').positionUm).toBeCloseTo(800, -1);
  });

  it('survive single outliers', () => {
    const samples = glide({ edgeUm: 1_200, end: 'closed', perUm: 2, noise: [], gaps: [] }).map((s, i) =>
      i === 3 || i === 20 ? { ...s, wiperCounts: 0 } : s,
    );
    expect(findEnd(samples, 'closed').positionUm).toBeCloseTo(1_200, -2);
  });

  it('are a gap with a reason where there is none', () => {
    const flat = glide({ edgeUm: 9_000, end: 'closed', perUm: 2, noise: [], gaps: [] });
    expect(findEnd(flat, 'closed')).toMatchObject({ positionUm: null, reason: expect.stringContaining('not change') });
    const noConductor = glide({ edgeUm: -5_000, end: 'closed', perUm: 2, noise: [], gaps: [] });
    expect(findEnd(noConductor, 'closed').positionUm).toBeNull();
    expect(findEnd(flat.slice(0, 5), 'closed')).toMatchObject({
      positionUm: null,
      reason: 'too few samples over the end',
    });
    expect(findEnd([], 'open').positionUm).toBeNull();
  });

  it('never throw and never lie outside what was looked at, whatever the samples', () => {
    const sample = fc.record({ positionUm: fc.integer({ min: -1e5, max: 1e6 }), wiperCounts: fc.double() });
    fc.assert(
      fc.property(fc.array(sample, { maxLength: 60 }), fc.constantFrom('closed', 'open'), (samples, end) => {
        const found = findEnd(samples, end);
        if (found.positionUm === null) {
          expect(found.reason).not.toBe('');
          return;
        }
        const positions = samples.map((s) => s.positionUm);
        expect(found.positionUm).toBeGreaterThan(Math.min(...positions));
        expect(found.positionUm).toBeLessThan(Math.max(...positions));
      }),
    );
  });
});
