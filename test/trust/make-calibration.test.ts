import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ratioFromLoss } from '../../src/law/decibel.ts';
import { ratioAtMeter, travelMmOf } from '../../src/trust/apply.ts';
import {
  CalibrationRefusedError,
  type DividerMark,
  type GaugeMark,
  meterFromDividers,
  positionFromGauges,
} from '../../src/trust/make-calibration.ts';
import { exampleCalibration, exampleLimits } from './example-calibration.ts';

const { position, meter } = exampleCalibration;
const { fullScaleCounts } = exampleLimits;
const fullTrackCounts = 8_100_000;

interface TrueMeter {
  readonly gain: number;
  readonly offsetCounts: number;
}

/** What a meter with this gain and offset reads of an exact divider. */
function reading({ gain, offsetCounts }: TrueMeter, nominalLossDb: number, sdCounts: number | null = 2): DividerMark {
  const ratio = ratioFromLoss(nominalLossDb);
  const wiperCounts = offsetCounts + gain * ratio * (fullTrackCounts - meter.trackOffsetCounts);
  return { nominalLossDb, wiperCounts, trackCounts: fullTrackCounts, sdCounts };
}

const three = (truth: TrueMeter): DividerMark[] => [20, 40, 60].map((lossDb) => reading(truth, lossDb));

function refusal(action: () => unknown): string {
  try {
    action();
  } catch (error) {
    expect(error).toBeInstanceOf(CalibrationRefusedError);
    expect(error).toMatchObject({ code: 'calibration.refused', userFixable: true });
    return (error as Error).message;
  }
  throw new Error('nothing was refused');
}

describe('a meter calibrated with three dividers', () => {
  it('has the gain and offset that it was read with, whatever they are and in whichever order', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -0.009, max: 0.009, noNaN: true }),
        fc.double({ min: -0.0009, max: 0.0009, noNaN: true }),
        fc.shuffledSubarray([0, 1, 2], { minLength: 3 }),
        (gainError, offsetShare, order) => {
          const truth = { gain: 1 + gainError, offsetCounts: offsetShare * fullScaleCounts };
          const readings = three(truth);
          const made = meterFromDividers(
            order.flatMap((index) => readings[index] ?? []),
            meter,
            fullScaleCounts,
          );
          expect(made.gain).toBeCloseTo(truth.gain, 9);
          expect(made.offsetCounts).toBeCloseTo(truth.offsetCounts, 4);
        },
      ),
    );
  });

  it('reads each divider as what it is', () => {
    const truth = { gain: 1.0021, offsetCounts: -140 };
    const calibration = { ...exampleCalibration, meter: meterFromDividers(three(truth), meter, fullScaleCounts) };
    for (const { nominalLossDb, wiperCounts, trackCounts } of three(truth)) {
      const ratio = ratioAtMeter({ positionUm: 0, wiperCounts, trackCounts, overRange: false }, calibration);
      expect(-20 * Math.log10(ratio ?? Number.NaN)).toBeCloseTo(nominalLossDb, 6);
    }
  });

  it('keeps what dividers cannot tell, and states no smaller uncertainty than its noise', () => {
    const noisy = three({ gain: 1, offsetCounts: 0 }).map((one) => ({ ...one, sdCounts: 400 }));
    const made = meterFromDividers(noisy, meter, fullScaleCounts);
    expect(made).toMatchObject({
      trackOffsetCounts: meter.trackOffsetCounts,
      nonLinearity: meter.nonLinearity,
      seriesReferenceOhm: meter.seriesReferenceOhm,
      uSeriesReference: meter.uSeriesReference,
      uOffsetCounts: 400,
    });
    expect(made.uGain).toBeGreaterThan(400 / fullTrackCounts);
    const unknown = three({ gain: 1, offsetCounts: 0 }).map((one) => ({ ...one, sdCounts: null }));
    expect(meterFromDividers(unknown, meter, fullScaleCounts).uOffsetCounts).toBeGreaterThan(0);
  });

  it.each<[string, (sound: DividerMark[]) => DividerMark[], RegExp]>([
    ['one is missing', (sound) => sound.slice(1), /All three dividers are needed/],
    ['one was read twice in place of another', ([a, b]) => [a, b, b].filter((x) => x !== undefined), /All three/],
    ['none was read', () => [], /All three/],
    ['two were swapped', ([a, b, c]) => swap(a, b, c), /mixed up|reads .* off the line/],
    ['the feed was off', (sound) => sound.map((one) => ({ ...one, trackCounts: 0 })), /./],
    ['a number is none', (sound) => sound.map((one) => ({ ...one, wiperCounts: Number.NaN })), /./],
  ])('is refused when %s', (_name, spoil, says) => {
    expect(
      refusal(() => meterFromDividers(spoil(three({ gain: 1, offsetCounts: 0 })), meter, fullScaleCounts)),
    ).toMatch(says);
  });

  it('is refused when the gain or the offset cannot be believed', () => {
    const made = (truth: TrueMeter) => () => meterFromDividers(three(truth), meter, fullScaleCounts);
    expect(refusal(made({ gain: 1.02, offsetCounts: 0 }))).toMatch(/gain of 1\.0200/);
    expect(refusal(made({ gain: 1, offsetCounts: 0.002 * fullScaleCounts }))).toMatch(/offset of 16777 counts/);
  });
});

describe('a position calibrated with two gauges', () => {
  /** Where a knob on this rig stands at a travel, when it came this way. */
  const at = (travelMm: number, approach: 'up' | 'down' | null): GaugeMark => {
    const half = approach === 'up' ? -position.backlashMm / 2 : approach === 'down' ? position.backlashMm / 2 : 0;
    return { travelMm, positionUm: ((travelMm - half - trueZeroMm) / trueScale) * 1000, approach };
  };
  const trueScale = 1.0004;
  const trueZeroMm = -2.31;

  it.each([
    ['up', 'up'],
    ['down', 'down'],
    ['up', 'down'],
    ['down', 'up'],
  ] as const)('finds scale and zero when they were touched going %s and %s', (first, second) => {
    const made = positionFromGauges([at(10, first), at(95, second)], position);
    expect(made.scale).toBeCloseTo(trueScale, 9);
    expect(made.zeroMm).toBeCloseTo(trueZeroMm, 9);
    const calibration = { ...exampleCalibration, position: made };
    expect(travelMmOf(at(50, 'down').positionUm, 'down', calibration)).toBeCloseTo(50, 6);
  });

  it('touched without saying how has the backlash in the uncertainty of its zero', () => {
    const known = positionFromGauges([at(10, 'up'), at(95, 'up')], position);
    const side = ({ travelMm, positionUm }: GaugeMark): GaugeMark => ({ travelMm, positionUm });
    const unknown = positionFromGauges([side(at(10, 'up')), side(at(95, 'up'))], position);
    expect(unknown.scale).toBeCloseTo(trueScale, 9);
    expect(Math.abs(unknown.zeroMm - trueZeroMm)).toBeLessThanOrEqual(2 * unknown.uZeroMm);
    expect(unknown.uZeroMm).toBeGreaterThanOrEqual(position.backlashMm / 2);
    expect(known.uZeroMm).toBeLessThan(unknown.uZeroMm);
    // One side alone says nothing of the other.
    expect(positionFromGauges([at(10, 'up'), side(at(95, 'up'))], position).uZeroMm).toBe(unknown.uZeroMm);
  });

  it('keeps what gauges cannot tell; nearer gauges know the scale less well', () => {
    const wide = positionFromGauges([at(5, 'up'), at(100, 'up')], position);
    const near = positionFromGauges([at(40, 'up'), at(75, 'up')], position);
    const { backlashMm, uBacklashMm, screwAmplitudeMm, uHomeMm } = position;
    expect(wide).toMatchObject({ backlashMm, uBacklashMm, screwAmplitudeMm, uHomeMm });
    expect(near.uScale).toBeGreaterThan(wide.uScale);
  });

  it.each<[string, [GaugeMark, GaugeMark], RegExp]>([
    ['too near each other', [at(40, 'up'), at(69, 'up')], /lie 29\.0 mm apart; at least 30/],
    ['the same', [at(40, 'up'), at(40, 'up')], /lie 0\.0 mm apart/],
    [
      'mixed up',
      [
        { ...at(10, 'up'), travelMm: 95 },
        { ...at(95, 'up'), travelMm: 10 },
      ],
      /gauge or a mark was mixed up/,
    ],
    ['read from another gauge', [at(10, 'up'), { ...at(95, 'up'), travelMm: 93 }], /More than 1 % apart/],
    ['at one place of the rig', [at(10, 'up'), { ...at(10, 'up'), travelMm: 95 }], /take both again/],
    ['no numbers', [at(10, 'up'), { ...at(95, 'up'), positionUm: Number.NaN }], /take both again/],
    ['of no known travel', [at(10, 'up'), { ...at(95, 'up'), travelMm: Number.NaN }], /take both again/],
  ])('is refused when the gauges are %s', (_name, gauges, says) => {
    expect(refusal(() => positionFromGauges(gauges, position))).toMatch(says);
  });
});

function swap(a: DividerMark | undefined, b: DividerMark | undefined, c: DividerMark | undefined): DividerMark[] {
  if (a === undefined || b === undefined || c === undefined) return [];
  return [{ ...a, nominalLossDb: b.nominalLossDb }, { ...b, nominalLossDb: a.nominalLossDb }, c];
}
