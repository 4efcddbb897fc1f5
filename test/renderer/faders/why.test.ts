import { describe, expect, test } from 'vitest';
import { serialParts } from '../../../renderer/screens/faders/serial-parts.ts';
import {
  bandText,
  decidedBy,
  limitText,
  limitThereDb,
  placeText,
  quantityText,
  shareOfLimit,
  worstPointOf,
} from '../../../renderer/screens/faders/why.ts';
import { programmeFader } from '../../report/sample-laws.ts';
import { samplePoint, sampleRun } from '../../report/sample-runs.ts';

const good = programmeFader.points.map(() => 0.1);

describe('why a run got its word', () => {
  test('a failing run is decided by the points outside, and its worst one is named', () => {
    const run = sampleRun('PF104-26-48-00017', good.with(12, 0.9).with(15, -1.2));
    expect(run.verdict).toBe('fail');
    expect(decidedBy(run)).toEqual({ points: 2, checks: [] });
    expect(worstPointOf(run)?.pointIndex).toBe(15);
  });

  test('a passing run is decided by everything', () => {
    const run = sampleRun('PF104-26-48-00017', good);
    expect(decidedBy(run).points).toBe(programmeFader.points.length);
    expect(decidedBy(run).checks).toHaveLength(4);
  });

  test('a run without a measured point has no worst one', () => {
    const run = sampleRun(
      'PF104-26-48-00017',
      good.map(() => null),
    );
    expect(run.verdict).toBe('void');
    expect(worstPointOf(run)).toBeNull();
  });
});

describe('limits', () => {
  test('are those of the side on which the deviation lies', () => {
    const quiet = samplePoint(programmeFader, 12, 0.3);
    const loud = samplePoint(programmeFader, 12, -0.3);
    expect(limitThereDb(quiet)).toBe(quiet.upperDb);
    expect(limitThereDb(loud)).toBe(loud.lowerDb);
    expect(shareOfLimit(quiet)).toBeCloseTo(0.3 / (quiet.upperDb ?? Number.NaN), 12);
    expect(shareOfLimit(loud)).toBeCloseTo(0.3 / -loud.lowerDb, 12);
  });

  test('that do not exist, and readings that do not exist, have no share', () => {
    expect(shareOfLimit(samplePoint(programmeFader, 0, 4))).toBeNull();
    expect(shareOfLimit(samplePoint(programmeFader, 0, -1))).not.toBeNull();
    expect(shareOfLimit(samplePoint(programmeFader, 3, null))).toBeNull();
  });

  test('are told in words', () => {
    expect(limitText({ lower: 85, upper: null, unit: 'dB' })).toBe('at least 85.00 dB');
    expect(limitText({ lower: null, upper: 0.15, unit: 'mm' })).toBe('at most 0.150 mm');
    expect(limitText({ lower: 8000, upper: 12_000, unit: 'ohm' })).toBe('8000 to 12000 ohm');
    expect(limitText({ lower: null, upper: null, unit: 'mm' })).toBe('no limit');
    expect(bandText({ ...samplePoint(programmeFader, 0, 0), lowerDb: -6 })).toBe('from \u22126.00 dB up');
    expect(bandText({ ...samplePoint(programmeFader, 9, 0), lowerDb: -0.5, upperDb: 0.5 })).toBe(
      '\u22120.50 to +0.50 dB',
    );
  });
});

test('a gap is a dash, never a number', () => {
  expect(quantityText(null, 'dB')).toBe('\u2013');
  expect(quantityText(0, 'ohm')).toBe('0 ohm');
});

test('a place is named by its mark where the scale has one', () => {
  expect(placeText(programmeFader, 30)).toBe('30.0 mm (mark \u221230)');
  expect(placeText(programmeFader, 34.8)).toBe('34.8 mm');
  expect(placeText(null, 30)).toBe('30.0 mm');
});

test('a serial is shared up to its last dash', () => {
  expect(serialParts('PF104-26-48-00017')).toEqual({ shared: 'PF104-26-48-', own: '00017' });
  expect(serialParts('0815')).toEqual({ shared: '', own: '0815' });
});
