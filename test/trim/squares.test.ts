import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { filmOhm } from '../../src/fader/track.ts';
import { profileOfTaps } from '../../src/trim/cells.ts';
import { ratioAfter } from '../../src/trim/needle.ts';
import { proportionalPlan } from '../../src/trim/proportional.ts';
import {
  bodySquares,
  CutGeometryError,
  laserKerfMm,
  plungeDepthMm,
  plungeSquares,
  shaveDepthMm,
  shaveSquares,
  stepSquares,
} from '../../src/trim/squares.ts';
import { perfectFader } from '../fader/perfect-fader.ts';
import reference from '../reference/electrical-trimming.json' with { type: 'json' };
import { addedByField } from './strip-field.ts';

interface Row {
  readonly id: string;
  readonly quantity: string;
  readonly expected: number;
  readonly unit: string;
  readonly tolerance: number;
  readonly source: string;
  readonly check: string;
  readonly args: Readonly<Record<string, unknown>>;
}

/** A missing argument is an error, never a default; [a, b] means a / b. */
function number(row: Row, name: string): number {
  const value = row.args[name];
  if (typeof value === 'number') return value;
  if (Array.isArray(value) && typeof value[0] === 'number' && typeof value[1] === 'number') return value[0] / value[1];
  throw new RangeError(`${row.id} lacks the number ${name}`);
}

/** 100, 200, 300 and 400 ohm in a row; the second gets 50 more. */
const divider = { cellOhm: 200, belowOhm: 100, totalOhm: 1000 };
const tapAfter = (tap: number, addedOhm: number): number =>
  ratioAfter(divider, tap === 1 ? 'closedSide' : 'openSide', addedOhm);
const raw = [95, 210, 280, 390];
const shares = [0.1, 0.2, 0.3, 0.4];

const checks: Readonly<Record<string, (row: Row) => number>> = {
  plungeSquares: (row) => plungeSquares(number(row, 'depth'), 1),
  stepSquares: (row) => stepSquares(number(row, 'depth'), 1),
  shaveInStrip: (row) => number(row, 'strip') + shaveSquares(number(row, 'length'), number(row, 'depth'), 1),
  lCutInStrip: (row) => {
    const [strip, leg, depth] = [number(row, 'strip'), number(row, 'leg'), number(row, 'depth')];
    const from = 2;
    const cuts = [
      { kind: 'plunge', side: 'left', at: from, depth },
      { kind: 'leg', from, to: from + leg, depth },
    ] as const;
    return strip + addedByField(strip, cuts, 64);
  },
  opposedPlungesInStrip: (row) => {
    const [strip, apart, depth] = [number(row, 'strip'), number(row, 'apart'), number(row, 'depth')];
    const cuts = [
      { kind: 'plunge', side: 'left', at: 2, depth },
      { kind: 'plunge', side: 'right', at: 2 + apart, depth },
    ] as const;
    return strip + addedByField(strip, cuts, 60);
  },
  percentRiseOfFullShave: (row) => 100 * bodySquares(1, number(row, 'depth'), 1),
  sheetOhm: (row) => (number(row, 'sheetOhm') * number(row, 'length')) / number(row, 'width'),
  tapAfter: (row) => tapAfter(number(row, 'tap'), 50),
  tapShiftDb: (row) => 20 * Math.log10(tapAfter(number(row, 'tap'), 50) / tapAfter(number(row, 'tap'), 0)),
  proportionalScale: () => proportionalPlan(raw, shares).scaleOhm,
  proportionalAdded: (row) => proportionalPlan(raw, shares).addedOhm[number(row, 'cell') - 1] ?? Number.NaN,
  proportionalError: () => {
    const { addedOhm, scaleOhm } = proportionalPlan(raw, shares);
    return Math.max(...raw.map((ohm, i) => Math.abs((ohm + (addedOhm[i] ?? 0)) / scaleOhm - (shares[i] ?? 0))));
  },
  changeWithTemperature: (row) => {
    const coefficient = 1e-6 * number(row, 'ppmPerK');
    const { track } = perfectFader();
    const warm = { ...track, tcrPerK: [coefficient, coefficient, coefficient] as const };
    return (filmOhm(warm, number(row, 'kelvin')) / filmOhm(warm) - 1) * number(row, 'ohm');
  },
  kerfUm: (row) => 1000 * (row.args.film === 'thin' ? laserKerfMm.thinFilm : laserKerfMm.thickFilm),
  cellFromRatios: (row) => {
    const tap = (pointIndex: number, ratio: number) => ({
      pointIndex,
      travelMm: 10 * pointIndex + 10,
      ratio,
      uRatio: 0,
    });
    const taps = [tap(0, number(row, 'from')), tap(1, number(row, 'to'))];
    const profile = profileOfTaps(taps, number(row, 'totalOhm'), 0, { closedEdgeMm: 1, openEdgeMm: 100 });
    return profile.cells[1]?.ohm ?? Number.NaN;
  },
};

describe('check values F1 to F20', () => {
  const rows: readonly Row[] = reference.values;

  test('are all there', () => {
    expect(rows.map((row) => row.id)).toEqual(Array.from({ length: 20 }, (_, i) => `F${i + 1}`));
  });

  test.each(rows)('$id $quantity ($source)', (row) => {
    const check = checks[row.check];
    if (!check) throw new RangeError(`${row.id} asks for the unknown check ${row.check}`);
    // A few parts in 1e15 of rounding come on top of a tolerance of nothing.
    expect(Math.abs(check(row) - row.expected), row.unit).toBeLessThanOrEqual(
      row.tolerance + 1e-12 * Math.max(1, Math.abs(row.expected)),
    );
  });
});

const width = fc.double({ min: 0.5, max: 10, noNaN: true });
const share = fc.double({ min: 0.001, max: 0.9, noNaN: true });

describe('squares', () => {
  test('depend on depth over width alone', () => {
    fc.assert(
      fc.property(width, share, (w, d) => {
        expect(plungeSquares(d * w, w)).toBeCloseTo(plungeSquares(d, 1), 9);
        expect(stepSquares(d * w, w)).toBeCloseTo(stepSquares(d, 1), 9);
        expect(shaveSquares(w, d * w, w)).toBeCloseTo(shaveSquares(1, d, 1), 9);
      }),
    );
  });

  test('never fall when a cut goes deeper or a shave grows longer', () => {
    fc.assert(
      fc.property(share, share, fc.double({ min: 0.01, max: 5, noNaN: true }), (a, b, length) => {
        const [shallow, deep] = a < b ? [a, b] : [b, a];
        expect(plungeSquares(deep, 1)).toBeGreaterThanOrEqual(plungeSquares(shallow, 1));
        expect(stepSquares(deep, 1)).toBeGreaterThanOrEqual(stepSquares(shallow, 1));
        expect(shaveSquares(length, deep, 1)).toBeGreaterThanOrEqual(shaveSquares(length, shallow, 1));
        expect(shaveSquares(length * 1.5, deep, 1)).toBeGreaterThanOrEqual(shaveSquares(length, deep, 1));
      }),
    );
  });

  test('a shallow plunge goes as (pi/2)(d/W)^2', () => {
    expect(plungeSquares(0.01, 1) / ((Math.PI / 2) * 1e-4)).toBeCloseTo(1, 3);
  });

  test('a shave of no length is a plunge, a long one has two steps', () => {
    expect(shaveSquares(0, 0.3, 1)).toBeCloseTo(plungeSquares(0.3, 1), 12);
    expect(shaveSquares(6, 0.3, 1)).toBeCloseTo(bodySquares(6, 0.3, 1) + 2 * stepSquares(0.3, 1), 6);
  });

  test('nothing is added by no depth', () => {
    expect(plungeSquares(0, 4)).toBeCloseTo(0, 15);
    expect(stepSquares(0, 4)).toBe(0);
    expect(shaveSquares(3, 0, 4)).toBeCloseTo(0, 15);
  });

  test('depths for wanted squares give those squares back', () => {
    fc.assert(
      fc.property(
        width,
        fc.double({ min: 0.001, max: 2, noNaN: true }),
        fc.double({ min: 0.2, max: 3, noNaN: true }),
        (w, n, l) => {
          expect(plungeSquares(plungeDepthMm(n, w), w)).toBeCloseTo(n, 9);
          expect(shaveSquares(l * w, shaveDepthMm(n, l * w, w), w)).toBeCloseTo(n, 6);
        },
      ),
    );
  });

  test.each([
    ['deeper than the film', () => plungeSquares(4, 4)],
    ['of negative depth', () => stepSquares(-0.1, 4)],
    ['in film of no width', () => bodySquares(1, 0, 0)],
    ['for less than nothing', () => shaveDepthMm(-1, 2, 4)],
    ['for a number that is none', () => plungeDepthMm(Number.NaN, 4)],
  ])('a cut %s is refused', (_what, ask) => {
    expect(ask).toThrow(CutGeometryError);
  });
});
