import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planMotion } from '../../firmware-protocol/codec/index.ts';
import { homeFloorUs, profileFor, profileForVisit, visitFloorUs } from '../../src/rig/timing.ts';
import { limits } from './scripted-rig.ts';

describe('the physical floor', () => {
  it('of a straight visit is motion, dwell and conversions', () => {
    const order = {
      targetUm: 50_000,
      speedUmPerS: 200_000,
      accelMmPerS2: 2000,
      jerkMmPerS3: 0,
      approach: 'up',
      dwellUs: 120_000,
      integrationUs: 20_000,
      conversions: 3,
    } as const;
    // Trapezoid: v/a = 0.1 s to speed up and to slow down covers 20 mm, the other 40 mm at 200 mm/s take 0.2 s.
    expect(visitFloorUs(limits, { ...order, targetUm: 60_000 }, 0)).toBeCloseTo(400_000 + 120_000 + 60_000, 3);
    // From above it has to pass the target and turn: two motions.
    expect(visitFloorUs(limits, order, 60_000)).toBeGreaterThan(
      visitFloorUs(limits, { ...order, approach: 'down' }, 60_000),
    );
  });

  it('of homing is the way back at homing speed', () => {
    expect(homeFloorUs(limits, 20_000)).toBeCloseTo(1e6 + (limits.homeSpeedUmPerS / limits.accelMaxMmPerS2) * 1000, 3);
  });
});

describe('the choice of a motion profile', () => {
  const distance = fc.integer({ min: 13, max: 110_000 });
  const residual = fc.constantFrom(0.5, 1, 2, 5, 20);

  it('keeps to the limits of the rig, in whole numbers of the wire', () => {
    fc.assert(
      fc.property(distance, residual, (distanceUm, residualUm) => {
        const profile = profileFor(limits, distanceUm, residualUm);
        expect(profile.speedUmPerS).toBeLessThanOrEqual(limits.speedMaxUmPerS);
        expect(profile.accelMmPerS2).toBeLessThanOrEqual(limits.accelMaxMmPerS2);
        expect(profile.jerkMmPerS3).toBeLessThanOrEqual(limits.jerkMaxMmPerS3);
        expect(Object.values(profile).slice(0, 4).every(Number.isInteger)).toBe(true);
      }),
      { numRuns: 50 },
    );
  });

  it('leaves no more vibration than asked for, judged by integrating the oscillator', () => {
    fc.assert(
      fc.property(distance, residual, (distanceUm, residualUm) => {
        const profile = profileFor(limits, distanceUm, residualUm);
        expect(vibrationAfter(distanceUm, profile)).toBeLessThanOrEqual(residualUm * 1.005);
      }),
      { numRuns: 100 },
    );
  });

  it('is never slower than starting as hard as the rig can and waiting', () => {
    fc.assert(
      fc.property(distance, residual, (distanceUm, residualUm) => {
        const best = profileFor(limits, distanceUm, residualUm);
        const hard = profileFor({ ...limits, jerkMaxMmPerS3: 0 }, distanceUm, residualUm);
        expect(best.moveUs + best.dwellUs).toBeLessThanOrEqual(hard.moveUs + hard.dwellUs);
      }),
      { numRuns: 50 },
    );
  });

  it('takes the turn of a visit into account', () => {
    const visit = { fromUm: 50_000, targetUm: 45_000, lastApproach: 'up' } as const;
    const straight = profileForVisit(limits, { ...visit, approach: 'down' }, 1);
    const turning = profileForVisit(limits, { ...visit, approach: 'up' }, 1);
    expect(straight).toEqual(profileFor(limits, -5000, 1));
    expect(turning.moveUs).toBeGreaterThan(straight.moveUs);
  });

  it('refuses a residual that is never reached', () => {
    expect(() => profileFor(limits, 1000, 0)).toThrow(RangeError);
  });
});

/**
 * Envelope (um) of a damped oscillator carried by the motion, after the dwell: x'' + 2 zeta w x' + w^2 x = -a(t),
 * integrated with small steps; independent of the closed formula under test.
 */
function vibrationAfter(distanceUm: number, profile: ReturnType<typeof profileFor>): number {
  const plan = planMotion({ distanceUm, ...profile });
  const omega = (2 * Math.PI * limits.resonanceMilliHz) / 1000;
  const zeta = limits.dampingPermille / 1000;
  const stepUs = 10;
  const dt = stepUs / 1e6;
  let x = 0;
  let v = 0;
  for (let t = 0; t < plan.durationUs + profile.dwellUs; t += stepUs) {
    const accel = (plan.speedAtUmPerS(t + stepUs) - plan.speedAtUmPerS(t)) / dt;
    v += (-accel - 2 * zeta * omega * v - omega * omega * x) * dt;
    x += v * dt;
  }
  return Math.hypot(x, (v + zeta * omega * x) / (omega * Math.sqrt(1 - zeta * zeta)));
}
