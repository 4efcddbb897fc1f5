/** Every published or closed-form value of the reference files that this room can express. */
import { describe, expect, test } from 'vitest';
import { buildLaw, type Law } from '../../src/law/build.ts';
import { lossAt, slopeAt } from '../../src/law/curve.ts';
import { addLossDb, lossFromRatio, ratioFromLoss, trackingErrorDb } from '../../src/law/decibel.ts';
import { loadErrorDb, loadErrorRatio, loadedRatio, unloadedRatio, worstLoadErrorRatio } from '../../src/law/load.ts';
import {
  exponentialBase,
  exponentialTaper,
  linearWithResistorTaper,
  powerTaper,
  pureLogTaper,
  reversedTaper,
  reverseLinearWithResistorTaper,
  twoSlopeTaper,
} from '../../src/law/taper.ts';
import decibelFile from '../reference/electrical-decibel.json' with { type: 'json' };
import lawFile from '../reference/electrical-law.json' with { type: 'json' };
import loadingFile from '../reference/electrical-loading.json' with { type: 'json' };
import taperFile from '../reference/electrical-taper.json' with { type: 'json' };
import { plainLaw, publishedLaw } from './published-laws.ts';

interface Row {
  readonly id: string;
  readonly quantity: string;
  readonly input: string;
  readonly expected: number;
  readonly unit: string;
  readonly relation: string;
  readonly tolerance: number | null;
  readonly source: string;
  readonly check: string;
  readonly args: Readonly<Record<string, unknown>>;
}

/** Reads the arguments of a row; a missing one is an error, never a default. */
class Args {
  readonly #values: Readonly<Record<string, unknown>>;
  constructor(values: Readonly<Record<string, unknown>>) {
    this.#values = values;
  }
  number(name: string): number {
    const value = this.#values[name];
    if (typeof value === 'number') return value;
    if (Array.isArray(value) && typeof value[0] === 'number' && typeof value[1] === 'number')
      return value[0] / value[1];
    throw new Error(`argument ${name} is no number`);
  }
  text(name: string): string {
    const value = this.#values[name];
    if (typeof value !== 'string') throw new Error(`argument ${name} is no text`);
    return value;
  }
}

function level(lossDb: number | null): number {
  if (lossDb === null) throw new Error('no finite level');
  return -lossDb;
}

function levelOf(ratio: number): number {
  return level(lossFromRatio(ratio));
}

function halfWayLaw(a: Args): Law {
  const point = { minusDb: 1, plusDb: 1 };
  return buildLaw({
    ...plainLaw(),
    points: [
      { ...point, travelMm: 10, lossDb: a.number('toDb') },
      { ...point, travelMm: 20, lossDb: a.number('fromDb') },
    ],
  });
}

const checks: Readonly<Record<string, (a: Args) => number>> = {
  levelOfRatio: (a) => levelOf(a.number('ratio')),
  ratioFromLoss: (a) => ratioFromLoss(a.number('lossDb')),
  trackingErrorDb: (a) => trackingErrorDb(a.number('firstRatio'), a.number('secondRatio')) ?? Number.NaN,
  loadedVolts: (a) => loadedRatio(a.number('unloadedRatio'), a.number('m')) * a.number('volts'),
  unloadedRatio: (a) => unloadedRatio(loadedRatio(a.number('loadedFrom'), a.number('m')), a.number('m')),
  loadErrorDb: (a) => loadErrorDb(a.number('unloadedRatio'), a.number('m')),
  scaledLightLoadError: (a) => a.number('m') * loadErrorRatio(a.number('unloadedRatio'), a.number('m')),
  worstLoadErrorPercent: (a) => {
    const worst = worstLoadErrorRatio(a.number('m'));
    expect(Math.abs(worst.unloadedRatio - a.number('worstRatio'))).toBeLessThanOrEqual(0.000_05);
    return worst.errorRatio * 100;
  },
  exponentialBase: (a) => exponentialBase(a.number('midRatio')),
  exponentialTaper: (a) => exponentialTaper(a.number('midRatio'))(a.number('x')),
  linearWithResistorTaper: (a) => linearWithResistorTaper(a.number('t'))(a.number('x')),
  reverseLinearWithResistorTaper: (a) => reverseLinearWithResistorTaper(a.number('t'))(a.number('x')),
  mirroredLinearWithResistorTaper: (a) => {
    const mirrored = reversedTaper(linearWithResistorTaper(a.number('t')))(a.number('x'));
    expect(mirrored).toBeCloseTo(reverseLinearWithResistorTaper(a.number('t'))(a.number('x')), 12);
    return mirrored;
  },
  levelOfTwoSlopeTaper: (a) => levelOf(twoSlopeTaper(a.number('midRatio'))(a.number('x'))),
  // The second gang, as long as the first, is the first one's load.
  levelOfTandem: (a) => {
    const ratio = a.number('ratio');
    return level(addLossDb(lossFromRatio(loadedRatio(ratio, 1)), lossFromRatio(ratio)));
  },
  levelOfPowerTaper: (a) => levelOf(powerTaper(a.number('exponent'))(a.number('x'))),
  levelOfPureLogTaper: (a) => levelOf(pureLogTaper(a.number('spanDb'))(a.number('x'))),
  largestGapOfTwoSlope: (a) => {
    const printed = twoSlopeTaper(a.number('midRatio'));
    const exponential = exponentialTaper(a.number('midRatio'));
    const steps = Math.round(1 / a.number('gridStep'));
    const gaps = Array.from({ length: steps }, (_, step) => (step + 1) / steps)
      .map((x) => [levelOf(printed(x)), levelOf(exponential(x))] as const)
      .filter(([, exponentialDb]) => exponentialDb >= -a.number('floorDb'))
      .map(([printedDb, exponentialDb]) => Math.abs(printedDb - exponentialDb));
    return Math.max(...gaps);
  },
  publishedLevel: (a) => {
    const { law, topLevelDb } = publishedLaw(a.text('law'));
    return topLevelDb + level(lossAt(law, a.number('travelMm')));
  },
  slope: (a) => slopeAt(publishedLaw(a.text('law')).law, a.number('travelMm')) ?? Number.NaN,
  levelChange: (a) => {
    const { law } = publishedLaw(a.text('law'));
    const at = a.number('travelMm');
    return level(lossAt(law, at)) - level(lossAt(law, at - a.number('shiftMm')));
  },
  levelHalfWay: (a) => level(lossAt(halfWayLaw(a), 15)),
  levelHalfWayInRatio: (a) => levelOf((ratioFromLoss(a.number('fromDb')) + ratioFromLoss(a.number('toDb'))) / 2),
  scaledMark: (a) => {
    const { law, topLevelDb } = publishedLaw(a.text('law'));
    const point = law.points.find((p) => p.lossDb === topLevelDb - a.number('levelDb'));
    return ((point?.travelMm ?? Number.NaN) * a.number('toTravelMm')) / law.travelMm;
  },
};

const series: readonly (readonly [string, readonly Row[], number])[] = [
  ['decibels', decibelFile.values, 7],
  ['loading', loadingFile.values, 24],
  ['tapers', taperFile.values, 30],
  ['laws', lawFile.values, 21],
];

describe.each(series)('%s as published', (_name, rows, count) => {
  test(`all ${count} values are carried`, () => {
    expect(rows).toHaveLength(count);
  });

  for (const row of rows) {
    const title = `${row.id} ${row.quantity}, ${row.input}: ${row.relation} ${row.expected} ${row.unit} [${row.source}]`;
    test(title, () => {
      const check = checks[row.check];
      if (check === undefined) throw new Error(`no check ${row.check}`);
      const value = check(new Args(row.args));
      if (row.relation === 'at most') {
        expect(value).toBeLessThanOrEqual(row.expected);
        // The bound is the light-load limit, so the value lies just below it.
        expect(value).toBeGreaterThan(row.expected * 0.8);
        return;
      }
      expect(row.relation).toBe('equals');
      if (row.tolerance === null) throw new Error(`${row.id} has no tolerance`);
      // A few bits of slack, so that a tolerance of 0 or 1e-12 means "to double precision".
      expect(Math.abs(value - row.expected)).toBeLessThanOrEqual(row.tolerance + Math.abs(row.expected) * 1e-14);
    });
  }
});

describe('published laws', () => {
  const scale = publishedLaw('L2');
  for (const [levelDb, percent] of Object.entries(scale.tabulatedPercent)) {
    test(`the level at ${percent} % is ${levelDb} dB [${scale.source}]`, () => {
      // Tabulated to 0.1 %: half a digit of travel times the local slope.
      const slackDb = 0.05 * (slopeAt(scale.law, percent) ?? Number.NaN) + 1e-9;
      expect(Math.abs(-(lossAt(scale.law, percent) ?? Number.NaN) - Number(levelDb))).toBeLessThanOrEqual(slackDb);
    });
  }
});
