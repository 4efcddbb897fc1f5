import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { RandomGenerator } from 'pure-rand/types/RandomGenerator';

/**
 * Mixes integers into one unsigned 32-bit number. Neighbouring inputs give unrelated outputs, so it serves both
 * for the seeds of sub-streams and as repeatable noise in place.
 */
export function mix32(...values: readonly number[]): number {
  let h = 0x9e3779b9;
  for (const value of values) {
    h = Math.imul(h ^ (value | 0), 0x85ebca6b);
    h ^= h >>> 13;
    h = Math.imul(h + 0x165667b1, 0xc2b2ae35);
    h ^= h >>> 16;
  }
  return h >>> 0;
}

function labelCode(label: string | number): number {
  if (typeof label === 'number') return label;
  let code = 7;
  for (let i = 0; i < label.length; i++) code = Math.imul(code, 31) + label.charCodeAt(i);
  return code;
}

/** A stream of random numbers from a seed; `sub` opens an independent stream that does not depend on what was drawn. */
export class Random {
  private readonly seed: number;
  private readonly generator: RandomGenerator;

  constructor(seed: number) {
    this.seed = seed >>> 0;
    this.generator = xoroshiro128plus(this.seed | 0);
    // The generator expands 32 bits into 128; the first draws of close seeds still resemble each other.
    for (let i = 0; i < 16; i++) this.generator.next();
  }

  /** The stream named by `labels`: the same for the same seed and labels, whatever was drawn here before. */
  sub(...labels: readonly (string | number)[]): Random {
    return new Random(mix32(this.seed, ...labels.map(labelCode)));
  }

  /** Evenly in [from, to). */
  uniform(from = 0, to = 1): number {
    return from + (to - from) * uniformFloat64(this.generator);
  }

  /** An integer from..to, both included. */
  integer(from: number, to: number): number {
    return from + Math.floor(uniformFloat64(this.generator) * (to - from + 1));
  }

  /** Gaussian (Box-Muller, one value a call so that streams stay easy to reason about). */
  normal(mean = 0, sd = 1): number {
    const radius = Math.sqrt(-2 * Math.log(1 - uniformFloat64(this.generator)));
    return mean + sd * radius * Math.cos(2 * Math.PI * uniformFloat64(this.generator));
  }

  /** Gaussian cut at 3 sd by drawing again: no print is ten sigma off. */
  bounded(mean: number, sd: number): number {
    for (;;) {
      const z = this.normal();
      if (Math.abs(z) <= 3) return mean + sd * z;
    }
  }

  /** 32 random bits, unsigned. */
  bits(): number {
    return this.generator.next() >>> 0;
  }

  chance(probability: number): boolean {
    return uniformFloat64(this.generator) < probability;
  }

  pick<T>(choices: readonly T[]): T {
    const chosen = choices[this.integer(0, choices.length - 1)];
    if (chosen === undefined) throw new RangeError('pick needs at least one choice');
    return chosen;
  }
}

/** Roughly Gaussian value (unit variance, |z| < 3.5) that belongs to a place: the same numbers give the same value. */
export function noiseAt(...values: readonly number[]): number {
  const h = mix32(...values);
  const g = Math.imul(h ^ 0x5bd1e995, 0x27d4eb2d) >>> 0;
  const sum = (h & 0xffff) + (h >>> 16) + (g & 0xffff) + (g >>> 16);
  return (sum / 65536 - 2) * Math.sqrt(3);
}

/** Noise along a line: `noiseAt` on knots every `correlationMm`, blended so that the variance stays 1 between them. */
export function noiseAlong(seed: number, channel: number, positionMm: number, correlationMm: number): number {
  const place = positionMm / correlationMm;
  const knot = Math.floor(place);
  const share = place - knot;
  const a = noiseAt(seed, channel, knot);
  const b = noiseAt(seed, channel, knot + 1);
  return (a * (1 - share) + b * share) / Math.sqrt((1 - share) ** 2 + share ** 2);
}
