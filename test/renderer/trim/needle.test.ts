import { describe, expect, test } from 'vitest';
import { approachPlaces, leftOhm, leftS, ohmPlaces } from '../../../renderer/screens/bench/trim/approach.ts';
import { needleWords } from '../../../renderer/screens/bench/trim/needle-words.ts';
import type { NeedleReading } from '../../../src/contract/trim.ts';

const reading: NeedleReading = {
  serial: 'PF104-26-48-00017',
  cellIndex: 3,
  state: 'live',
  reason: null,
  parkedMm: 15,
  atMs: 4_000,
  ratio: 0.014,
  totalOhm: 8_560,
  startOhm: 60,
  nowOhm: 65,
  targetOhm: 80,
  stopOhm: 78,
  approach: 5 / 18,
  rateOhmPerS: 2,
  stop: false,
  over: false,
};

describe('the approach bar', () => {
  test('runs from the beginning past the target, with the stop line before it', () => {
    const { now, stop, target } = approachPlaces(reading);
    expect(target).toBeCloseTo(1 / 1.2, 12);
    expect(stop).toBeLessThan(target);
    expect(now).toBeCloseTo(5 / 24, 12);
  });

  test('shows an over-cut beyond the target and never leaves the bar', () => {
    const { target } = approachPlaces(reading);
    expect(approachPlaces({ ...reading, nowOhm: 82 }).now).toBeGreaterThan(target);
    expect(approachPlaces({ ...reading, nowOhm: 900 }).now).toBe(1);
    expect(approachPlaces({ ...reading, nowOhm: 20 }).now).toBe(0);
  });

  test('has no mark without a fresh reading', () => {
    expect(approachPlaces({ ...reading, nowOhm: null }).now).toBeNull();
    expect(leftOhm({ ...reading, nowOhm: null })).toBeNull();
  });

  test('tells the time left only while something is cut', () => {
    expect(leftS(reading, 2)).toBeCloseTo(6.5, 12);
    expect(leftS(reading, 0)).toBeNull();
    expect(leftS(reading, 0.001)).toBeNull();
    expect(leftS(reading, null)).toBeNull();
    expect(leftS({ ...reading, nowOhm: 79 }, 2)).toBe(0);
  });

  test.each([
    [5_600, 0],
    [353.9, 1],
    [73.3, 2],
    [1.234, 3],
    [0.2, 3],
  ])('reads %d ohm with %d places', (ohm, places) => {
    expect(ohmPlaces(ohm)).toBe(places);
  });
});

describe('the needle’s words', () => {
  const say = (needle: Partial<NeedleReading>, more: { isVirtual?: boolean; isHandCutting?: boolean } = {}) =>
    needleWords({
      needle: { ...reading, ...needle },
      ...{ isVirtual: false, isHandCutting: false, isGuardToOpen: true },
      ...more,
    });

  test('a line that is reached says stop, whatever the state is called', () => {
    for (const state of ['live', 'stop'] as const) {
      expect(say({ state, stop: true })).toMatchObject({ word: 'Stop', main: { act: 'done' } });
    }
    expect(say({ state: 'stop', stop: true, over: true }).sentence).toContain('The target is passed');
  });

  test('a lost reading asks for the tool to be taken away, and offers nothing to press', () => {
    expect(say({ nowOhm: null, approach: null })).toMatchObject({ word: 'No reading', main: null });
  });

  test('a closed needle says why', () => {
    expect(say({ state: 'ended', reason: 'The guard was closed.' })).toMatchObject({
      word: 'Closed',
      sentence: 'The guard was closed.',
      main: { act: 'putAway' },
    });
  });

  test('nothing can be pressed while the carriage moves', () => {
    expect(say({ state: 'parking', nowOhm: null }).main).toBeNull();
  });

  test('on the virtual rig Enter opens the guard for a hand, then lets it cut and takes it away', () => {
    const isVirtual = true;
    expect(say({ state: 'waiting', reason: 'Open the guard.' }, { isVirtual }).main?.act).toBe('openGuard');
    expect(say({}, { isVirtual }).main?.act).toBe('startHand');
    expect(say({}, { isVirtual, isHandCutting: true }).main?.act).toBe('endHand');
    expect(say({}).main?.act).toBe('done');
  });
});
