import { describe, expect, test } from 'vitest';
import { readNumber } from '../../../renderer/screens/rig/read-number.ts';
import { travelSpan } from '../../../renderer/screens/rig/travel-span.ts';
import { virtualProblems, virtualRequestFrom, virtualWish } from '../../../renderer/screens/rig/virtual-wish.ts';
import { limitFacts, linkFacts, motionRefusal, portName } from '../../../renderer/screens/rig/words.ts';
import { virtualRequest } from '../../../src/contract/commands.ts';
import type { Snapshot } from '../../../src/contract/state.ts';

const spell = (value: number | null | undefined, places: number): string => value?.toFixed(places) ?? '-';

test.each([
  ['12.5', 12.5],
  ['12,5', 12.5],
  [' -3 ', -3],
  ['\u22123', -3],
  ['.5', 0.5],
])('"%s" is a number', (text, value) => {
  expect(readNumber(text)).toBe(value);
});

test.each(['', ' ', '1.2.3', '1,234.5', '1e5', '0x10', 'Infinity', 'NaN', 'ten', '1 2'])('"%s" is none', (text) => {
  expect(readNumber(text)).toBeNull();
});

describe('the virtual rig’s form', () => {
  const wish = { ...virtualWish, lawId: 'PF-104' };

  test('as it stands it makes a request that the contract takes', () => {
    expect(virtualRequest.safeParse(virtualRequestFrom(wish)).success).toBe(true);
    expect(virtualRequestFrom({ ...wish, faultPercent: '12,5' })?.faultShare).toBe(0.125);
  });

  test.each([
    ['seed', '1.5'],
    ['seed', '-1'],
    ['size', '0'],
    ['size', ''],
    ['faultPercent', '101'],
    ['timeFactor', '0'],
    ['timeFactor', 'fast'],
  ] as const)('%s of "%s" is refused beside its field', (key, text) => {
    const wrong = { ...wish, [key]: text };
    expect(Object.keys(virtualProblems(wrong))).toEqual([key]);
    expect(virtualRequestFrom(wrong)).toBeNull();
  });

  test('without a law there is no request', () => {
    expect(virtualRequestFrom(virtualWish)).toBeNull();
  });
});

describe('what may move', () => {
  const ready = {
    rig: { state: 'ready', interlocks: { guardClosed: false, emergencyStopReleased: true, clampClosed: false } },
    run: null,
  } as unknown as Snapshot;

  test('a jog may with guard and clamp open', () => {
    expect(motionRefusal(ready)).toBeNull();
  });

  test.each<[RegExp, object]>([
    [/No rig/, { rig: { ...ready.rig, state: 'lost' } }],
    [/being measured/, { run: { state: 'paused' } }],
    [/not known/, { rig: { ...ready.rig, interlocks: null } }],
    [/emergency stop/, { rig: { ...ready.rig, interlocks: { emergencyStopReleased: false } } }],
  ])('nothing may: %s', (words, change) => {
    expect(motionRefusal({ ...ready, ...change } as Snapshot)).toMatch(words);
  });

  test('an ended run holds nothing up', () => {
    expect(motionRefusal({ ...ready, run: { state: 'ended' } } as Snapshot)).toBeNull();
  });
});

test('limits stand in the units a person thinks in, and what a rig does not report is a gap', () => {
  const facts = limitFacts({ travelMinUm: 0, travelMaxUm: 114_000, stepsPerMm: 80, watchdogUs: 250_000 }, spell);
  expect(Object.fromEntries(facts.map(({ name, value }) => [name, value]))).toMatchObject({
    Travel: '0.0 to 114.0 mm',
    'One step': '12.50 \u00b5m',
    'Stops when silent': 'after 250 ms',
    'Top speed': '- mm/s',
  });
  expect(linkFacts(null, spell)[0]?.value).toBe('\u2013');
});

test('a port is called what its maker calls it, else what it is', () => {
  expect(portName({ vendor: 'Tollgate', product: 'Bench link' })).toBe('Tollgate Bench link');
  expect(portName({ vendor: null, product: '' })).toBe('Serial port');
});

test('the drawn travel is the rig’s own, shifted as its calibration says', () => {
  const limits = { travelMinUm: 0, travelMaxUm: 114_000 };
  expect(travelSpan(limits, { travelMm: 7.3, positionUm: 10_000 })).toEqual({ fromMm: -2.7, toMm: 111.3 });
  expect(travelSpan(limits, { travelMm: null, positionUm: 10_000 })).toEqual({ fromMm: 0, toMm: 114 });
  expect(travelSpan(null, null)).toBeNull();
  expect(travelSpan({ travelMinUm: 5, travelMaxUm: 5 }, null)).toBeNull();
});
