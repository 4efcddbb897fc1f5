import { describe, expect, test } from 'vitest';
import { pointLimits } from '../../../renderer/screens/bench/axis.ts';
import { cutSentence, cutText } from '../../../renderer/screens/bench/trim/cut-text.ts';
import { expectedPlaces } from '../../../renderer/screens/bench/trim/expected-plugin.ts';
import { trimProblem, trimSettingsFrom, trimWishOf } from '../../../renderer/screens/settings/trim-wish.ts';
import { buildLaw } from '../../../src/law/build.ts';
import { cuts, law, plan } from './pieces.ts';

describe('a cut in words', () => {
  test('a shave has place, length, depth and side', () => {
    const shave = {
      kind: 'shave',
      number: 4,
      cellIndex: 3,
      side: 'left',
      fromMm: 12.54,
      toMm: 14.46,
      depthMm: 0.3,
    } as const;
    expect(cutText(shave)).toEqual({
      ...{ number: 4, kind: 'Shave', placeMm: '12.5 to 14.5', lengthMm: '1.9', depthMm: '0.30', side: 'Left' },
    });
    expect(cutSentence(shave)).toBe('Cut 4: shave at 12.5 to 14.5 mm, 1.9 mm long, 0.30 mm deep, left side');
  });

  test('a plunge has no length', () => {
    const plunge = cuts.find(({ kind }) => kind === 'plunge');
    if (plunge === undefined) throw new Error('The fixture has lost its plunge.');
    expect(cutText(plunge).lengthMm).toBeNull();
    expect(cutSentence(plunge)).not.toContain('long');
  });
});

describe('what a pass is expected to give', () => {
  const limits = pointLimits(buildLaw(law));

  test('stands between two standard deviations to each side', () => {
    for (const { at, from, to } of expectedPlaces({ points: plan.points, limits, scale: 'dB', end: 4 })) {
      expect(from).toBeLessThanOrEqual(at);
      expect(to).toBeGreaterThanOrEqual(at);
    }
  });

  test('beyond the axis it stands at its end', () => {
    const far = plan.points.map((point) => ({ ...point, deviationAfterDb: 30 }));
    expect(expectedPlaces({ points: far, limits, scale: 'dB', end: 4 }).every(({ at }) => at === 4)).toBe(true);
  });

  test('as share of the limit, the limit itself is 1', () => {
    const atLimit = plan.points.map((point, index) => ({
      ...point,
      deviationAfterDb: limits[index]?.lowerDb ?? 0,
      sdAfterDb: 0,
    }));
    const places = expectedPlaces({ points: atLimit, limits, scale: 'share', end: 2 });
    for (const { at } of places) expect(at).toBeCloseTo(-1, 12);
  });
});

describe('the settings of trimming', () => {
  const settings = { passLimit: 3, riskLimit: 0.002, settleS: 10, toolId: 'mill-1', toolKind: 'mill' } as const;

  test('come back as they were shown', () => {
    const { toolKind: _kind, ...limits } = settings;
    expect(trimSettingsFrom(trimWishOf(settings))).toEqual(limits);
  });

  test.each([
    [{ toolId: '  ' }, /name/],
    [{ passLimit: '0' }, /1 to 9/],
    [{ passLimit: '2.5' }, /whole/],
    [{ settleS: 'soon' }, /0 to 600/],
    [{ riskPercent: '0' }, /above 0/],
    [{ riskPercent: '51' }, /at most 50/],
  ])('%o is refused with what to type instead', (change, words) => {
    const wish = { ...trimWishOf(settings), ...change };
    expect(trimProblem(wish)).toMatch(words);
    expect(trimSettingsFrom(wish)).toBeNull();
  });

  test('take a decimal comma', () => {
    expect(trimSettingsFrom({ ...trimWishOf(settings), riskPercent: '0,5' })?.riskLimit).toBeCloseTo(0.005, 12);
  });
});
