import { describe, expect, test } from 'vitest';
import {
  allDividers,
  bothGauges,
  type CalibrationDraft,
  forget,
  newDraft,
  nextStep,
  stepBack,
  stepsOf,
  takeDivider,
  takeGauge,
} from '../../../renderer/screens/rig/calibration/draft.ts';
import { previewOf } from '../../../renderer/screens/rig/calibration/preview.ts';
import type { Calibration } from '../../../src/trust/calibration.ts';

const before: Calibration = {
  id: 'cal-1',
  rigSerial: 'VR0001',
  madeAt: '2026-05-01T08:00:00.000Z',
  dueAt: '2026-11-01T08:00:00.000Z',
  source: 'certificate',
  madeBy: 'KT',
  position: {
    scale: 1,
    zeroMm: -2,
    backlashMm: 0.04,
    uZeroMm: 0.01,
    uBacklashMm: 0.005,
    uScale: 1e-4,
    screwAmplitudeMm: 0.01,
    uHomeMm: 0.01,
  },
  meter: {
    offsetCounts: 0,
    trackOffsetCounts: 0,
    gain: 1,
    uOffsetCounts: 1,
    uGain: 1e-5,
    nonLinearity: 5e-6,
    seriesReferenceOhm: 10_000,
    uSeriesReference: 1e-4,
  },
};

const track = 8_000_000;
const divider = (nominalLossDb: 20 | 40 | 60, offset = 0, gain = 1) => ({
  nominalLossDb,
  wiperCounts: offset + 10 ** (-nominalLossDb / 20) * track * gain,
  trackCounts: track,
  sdCounts: 2,
  lossDb: nominalLossDb,
});
const withDividers = (draft: CalibrationDraft, offset = 0, gain = 1): CalibrationDraft =>
  ([20, 40, 60] as const).reduce((taken, loss) => takeDivider(taken, divider(loss, offset, gain)), draft);

describe('the steps', () => {
  test.each([
    ['position', ['gauge', 'gauge', 'result']],
    ['meter', ['divider', 'divider', 'divider', 'result']],
    ['both', ['gauge', 'gauge', 'divider', 'divider', 'divider', 'result']],
  ] as const)('%s asks for what it needs, in order', (plan, kinds) => {
    expect(stepsOf(plan).map(({ kind }) => kind)).toEqual(kinds);
    expect(nextStep(newDraft(plan))).toEqual(stepsOf(plan)[0]);
  });

  test('one after the other is taken, then comes the result', () => {
    let draft = takeGauge(newDraft('both'), 0, { travelMm: 10, positionUm: 12_000 });
    expect(nextStep(draft)).toEqual({ kind: 'gauge', index: 1 });
    expect(bothGauges(draft)).toBeNull();
    draft = takeGauge(draft, 1, { travelMm: 90, positionUm: 92_000 });
    expect(nextStep(draft)).toEqual({ kind: 'divider', lossDb: 20 });
    expect(nextStep(withDividers(draft))).toEqual({ kind: 'result' });
  });

  test('a step taken again replaces the old one', () => {
    const draft = takeDivider(withDividers(newDraft('meter')), divider(40, 7));
    expect(allDividers(draft)?.filter(({ nominalLossDb }) => nominalLossDb === 40)).toEqual([divider(40, 7)]);
  });

  test('any step can be forgotten by itself, and the newest by stepping back', () => {
    const draft = withDividers(
      takeGauge(takeGauge(newDraft('both'), 0, { travelMm: 10, positionUm: 1 }), 1, { travelMm: 90, positionUm: 2 }),
    );
    expect(nextStep(forget(draft, { kind: 'gauge', index: 0 }))).toEqual({ kind: 'gauge', index: 0 });
    expect(allDividers(forget(draft, { kind: 'gauge', index: 0 }))).toHaveLength(3);
    expect(nextStep(forget(draft, { kind: 'divider', lossDb: 40 }))).toEqual({ kind: 'divider', lossDb: 40 });
    expect(nextStep(stepBack(draft))).toEqual({ kind: 'divider', lossDb: 60 });
    expect(nextStep([1, 2, 3, 4].reduce(stepBack, draft))).toEqual({ kind: 'gauge', index: 1 });
  });
});

describe('the preview', () => {
  const gauges = (first: number, second: number): CalibrationDraft =>
    takeGauge(takeGauge(newDraft('position'), 0, { travelMm: first, positionUm: 12_000 }), 1, {
      travelMm: second,
      positionUm: 92_000,
    });

  test('gauges that agree with the old calibration change nothing', () => {
    const { changes, effects, refusal } = previewOf(gauges(10, 90), before, null);
    expect(refusal).toBeNull();
    for (const change of changes) expect(change.after, change.name).toBeCloseTo(change.before, 9);
    for (const effect of effects) expect(effect.difference, effect.name).toBeCloseTo(0, 9);
  });

  test('a shifted zero moves every reading by as much', () => {
    const { changes, effects } = previewOf(gauges(10.25, 90.25), before, null);
    expect(changes.find(({ name }) => name === 'Position zero')).toMatchObject({ before: -2, after: -1.75 });
    for (const effect of effects) expect(effect.difference).toBeCloseTo(0.25, 9);
  });

  test('a gain of 1.001 is found and makes readings 0.0087 dB louder to the old meter', () => {
    const { changes, effects } = previewOf(withDividers(newDraft('meter'), 0, 1.001), before, null);
    expect(changes.find(({ name }) => name === 'Meter gain')?.after).toBeCloseTo(1.001, 9);
    // 20 log10(1.001) = 0.00868 dB.
    for (const effect of effects) expect(effect.difference).toBeCloseTo(0.00868, 4);
  });

  test('an offset is found and matters most for the weakest reading', () => {
    const { changes, effects } = previewOf(withDividers(newDraft('meter'), 80), before, null);
    expect(changes.find(({ name }) => name === 'Meter offset')?.after).toBeCloseTo(80, 6);
    // 80 counts of 8000 at -60 dB: 20 log10(8000 / 7920) = 0.0873 dB.
    expect(effects.map(({ difference }) => difference ?? Number.NaN).map((db) => db.toFixed(3))).toEqual([
      '0.001',
      '0.009',
      '0.087',
    ]);
  });

  test('mixed-up gauges and an unbelievable offset are refused in words, and nothing is offered', () => {
    expect(previewOf(gauges(90, 10), before, null).refusal).toMatch(/mixed up/);
    expect(previewOf(gauges(10, 35), before, null).refusal).toMatch(/apart/);
    const offset = withDividers(newDraft('meter'), 20_000);
    expect(previewOf(offset, before, 8_388_607)).toMatchObject({
      changes: [],
      refusal: expect.stringMatching(/offset/),
    });
  });
});
