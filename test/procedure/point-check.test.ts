import { describe, expect, it } from 'vitest';
import { exampleLaw, exampleLaws } from '../../src/law/examples.ts';
import { checkPlan } from '../../src/procedure/plan-check.ts';
import { expectedUs, pointCheckPlan } from '../../src/procedure/point-check.ts';
import type { Step } from '../../src/procedure/steps.ts';
import { travelMmOf } from '../../src/trust/apply.ts';
import { exampleCalibration as calibration } from '../trust/example-calibration.ts';
import { fakeLimits } from './fake-rig.ts';
import { simpleProfile } from './simple-profile.ts';

const planFor = (id: string, options = {}): readonly Step[] =>
  pointCheckPlan({ law: exampleLaw(id), calibration, limits: fakeLimits, profileFor: simpleProfile, options });

describe('plan of the point check', () => {
  it.each(exampleLaws().map((law) => law.id))('of %s fits the rig and reads every point once each way', (id) => {
    const law = exampleLaw(id);
    const plan = planFor(id);
    expect(checkPlan(plan, fakeLimits)).toEqual([]);
    for (const side of ['up', 'down'] as const) {
      const visits = plan.filter((step) => step.kind === 'visit' && step.order.approach === side);
      const indexes = visits.map((step) => (step.kind === 'visit' ? step.tag.pointIndex : null));
      const inOrder = law.points.map((_, index) => index);
      expect(indexes).toEqual(side === 'up' ? inOrder : inOrder.reverse());
    }
    expect(plan.filter((step) => step.kind === 'ohms')).toHaveLength(1);
    expect(plan.at(-1)?.kind).toBe('park');
  });

  it('looks at the interlocks before power, power before homing, homing before motion', () => {
    expect(
      planFor('PF-104')
        .slice(0, 3)
        .map((step) => step.kind),
    ).toEqual(['status', 'power', 'home']);
  });

  it('lands within half a rounding of the law in calibrated travel', () => {
    for (const step of planFor('PF-104')) {
      if (step.kind !== 'visit') continue;
      const travelMm = travelMmOf(step.order.targetUm, step.order.approach, calibration);
      expect(Math.abs(travelMm - step.tag.targetMm)).toBeLessThan(0.00051);
    }
  });

  it('goes up once and down once between the first and the last point', () => {
    const targets = planFor('PF-104', { wipingStrokes: 0 }).flatMap((step) =>
      step.kind === 'visit' || step.kind === 'glide' || step.kind === 'move' ? [step.order.targetUm] : [],
    );
    const turns = targets.filter((target, i) => {
      const before = targets[i - 1];
      const after = targets[i + 1];
      return before !== undefined && after !== undefined && Math.sign(target - before) !== Math.sign(after - target);
    });
    expect(turns).toHaveLength(1);
  });

  it('takes more conversions where it is quiet and expects time for them', () => {
    const few = planFor('PF-104', { quietConversions: 5 });
    const many = planFor('PF-104', { quietConversions: 15 });
    const quiet = exampleLaw('PF-104').points.filter((point) => point.lossDb >= 50).length;
    expect(expectedUs(many) - expectedUs(few)).toBeCloseTo(2 * quiet * 10 * 20_000, 3);
  });

  it('finds every limit that a step breaks', () => {
    const step: Step = {
      kind: 'visit',
      label: 'wild',
      tag: { purpose: 'point', pointIndex: 0, targetMm: 1 },
      expectedUs: 0,
      order: {
        targetUm: -1,
        speedUmPerS: 200_001,
        accelMmPerS2: 0,
        jerkMmPerS3: 20_001,
        approach: 'up',
        dwellUs: 0.5,
        integrationUs: 19,
        conversions: 100,
      },
    };
    const glide: Step = {
      kind: 'glide',
      label: 'fast',
      purpose: 'closedEnd',
      expectedUs: 0,
      order: { targetUm: Number.NaN, speedUmPerS: 1, accelMmPerS2: 1, jerkMmPerS3: 0, samplePeriodUs: 99 },
    };
    const codes = checkPlan([step, glide], fakeLimits).map((problem) => `${problem.stepIndex} ${problem.code}`);
    expect(codes.sort()).toEqual([
      '0 acceleration',
      '0 conversions',
      '0 integration',
      '0 jerk',
      '0 number',
      '0 speed',
      '0 travel',
      '1 number',
      '1 samplePeriod',
    ]);
  });
});
