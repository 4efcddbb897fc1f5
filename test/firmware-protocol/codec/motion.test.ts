import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  approachLegs,
  planBrake,
  planMotion,
  residualVibrationUm,
  settleDwellUs,
  TAKE_UP_UM,
} from '../../../firmware-protocol/codec/index.ts';

const request = fc.record({
  distanceUm: fc.integer({ min: -300_000, max: 300_000 }).filter((distance) => distance !== 0),
  speedUmPerS: fc.integer({ min: 100, max: 1_000_000 }),
  accelMmPerS2: fc.integer({ min: 10, max: 20_000 }),
  jerkMmPerS3: fc.oneof(fc.constant(0), fc.integer({ min: 100, max: 5_000_000 })),
});

describe('motion profile', () => {
  test('runs one way, ends exactly, keeps speed, acceleration and jerk', () => {
    fc.assert(
      fc.property(request, (given) => {
        const plan = planMotion(given);
        const { durationUs } = plan;
        const sign = Math.sign(given.distanceUm);
        expect(plan.positionAtUm(0)).toBe(0);
        expect(plan.positionAtUm(-1)).toBe(0);
        expect(plan.positionAtUm(durationUs)).toBe(given.distanceUm);
        expect(plan.positionAtUm(durationUs + 1e9)).toBe(given.distanceUm);
        expect(plan.speedAtUmPerS(durationUs)).toBe(0);
        expect(plan.peakSpeedUmPerS).toBeLessThanOrEqual(given.speedUmPerS * (1 + 1e-9));
        expect(plan.peakAccelMmPerS2).toBeLessThanOrEqual(given.accelMmPerS2 * (1 + 1e-9));
        const steps = 200;
        const dt = durationUs / 1e6 / steps;
        let before = 0;
        let speedBefore = 0;
        let accelBefore = 0;
        for (let step = 1; step <= steps; step += 1) {
          const tUs = (durationUs * step) / steps;
          const here = plan.positionAtUm(tUs) * sign;
          const speed = plan.speedAtUmPerS(tUs) * sign;
          expect(here).toBeGreaterThanOrEqual(before - 1e-6 * Math.abs(given.distanceUm));
          expect(speed).toBeLessThanOrEqual(given.speedUmPerS * (1 + 1e-9));
          // Mean acceleration and jerk over a step can only be smaller than the peaks.
          const accel = (speed - speedBefore) / dt;
          expect(Math.abs(accel)).toBeLessThanOrEqual(given.accelMmPerS2 * 1000 * (1 + 1e-6) + 1e-6 / dt);
          if (given.jerkMmPerS3 > 0 && step > 1) {
            const jerk = (accel - accelBefore) / dt;
            expect(Math.abs(jerk)).toBeLessThanOrEqual(given.jerkMmPerS3 * 1000 * (1 + 1e-4) + 1e-5 / dt ** 2);
          }
          accelBefore = accel;
          speedBefore = speed;
          before = here;
        }
      }),
      { numRuns: 500 },
    );
  });

  test('speed is the slope of position', () => {
    fc.assert(
      fc.property(request, fc.double({ min: 0.01, max: 0.99, noNaN: true }), (given, share) => {
        const plan = planMotion(given);
        const tUs = plan.durationUs * share;
        const h = plan.durationUs * 1e-5;
        const slope = ((plan.positionAtUm(tUs + h) - plan.positionAtUm(tUs - h)) / (2 * h)) * 1e6;
        const peak = plan.peakSpeedUmPerS;
        expect(Math.abs(slope - plan.speedAtUmPerS(tUs))).toBeLessThanOrEqual(peak * 1e-4);
      }),
    );
  });

  test('the speed covered adds up to the distance', () => {
    fc.assert(
      fc.property(request, (given) => {
        const plan = planMotion(given);
        const steps = 4000;
        const dt = plan.durationUs / steps;
        let covered = 0;
        for (let step = 0; step < steps; step += 1) covered += (plan.speedAtUmPerS((step + 0.5) * dt) * dt) / 1e6;
        expect(Math.abs(covered - given.distanceUm)).toBeLessThanOrEqual((plan.peakSpeedUmPerS * dt) / 1e6 / 2);
      }),
      { numRuns: 50 },
    );
  });

  test.each([
    // Hand calculation: 100 mm at 200 mm/s and 2 m/s2: 0.5 s + 0.1 s.
    ['trapezoid', { distanceUm: 100_000, speedUmPerS: 200_000, accelMmPerS2: 2000, jerkMmPerS3: 0 }, 600_000, 200_000],
    // 5 mm: peak sqrt(2 m/s2 * 5 mm) = 100 mm/s, 2 * 50 ms.
    ['triangle', { distanceUm: 5000, speedUmPerS: 200_000, accelMmPerS2: 2000, jerkMmPerS3: 0 }, 100_000, 100_000],
    // 200 mm/s at 2 m/s2 and 20 m/s3: speed-up 0.1 + 0.1 s; 100 mm: 0.5 + 0.2 s.
    [
      'all seven pieces',
      { distanceUm: 100_000, speedUmPerS: 200_000, accelMmPerS2: 2000, jerkMmPerS3: 20_000 },
      700_000,
      200_000,
    ],
    // 5 mm, acceleration never reached: peak cbrt(20e3 mm/s3 * 25 mm2 / 4) = 50 mm/s; T = 4 sqrt(50/20000) = 0.2 s.
    [
      'four pieces',
      { distanceUm: 5000, speedUmPerS: 200_000, accelMmPerS2: 2000, jerkMmPerS3: 20_000 },
      200_000,
      50_000,
    ],
    // Speed limit met before the acceleration: 20 mm/s at 20 m/s3: speed-up 2 sqrt(20/20000) = 63.2 ms; 10 mm: 0.5 s more.
    [
      'speed before acceleration',
      { distanceUm: 10_000, speedUmPerS: 20_000, accelMmPerS2: 2000, jerkMmPerS3: 20_000 },
      563_245.553,
      20_000,
    ],
  ])('%s', (_name, given, durationUs, peakSpeed) => {
    const plan = planMotion(given);
    expect(plan.durationUs).toBeCloseTo(durationUs, 2);
    expect(plan.peakSpeedUmPerS).toBeCloseTo(peakSpeed, 6);
    expect(plan.positionAtUm(plan.durationUs / 2)).toBeCloseTo(given.distanceUm / 2, 6);
  });

  test('no distance takes no time', () => {
    const plan = planMotion({ distanceUm: 0, speedUmPerS: 1, accelMmPerS2: 1, jerkMmPerS3: 0 });
    expect(plan.durationUs).toBe(0);
    expect(plan.positionAtUm(5)).toBe(0);
  });

  test.each([
    { distanceUm: 1, speedUmPerS: 0, accelMmPerS2: 1, jerkMmPerS3: 0 },
    { distanceUm: 1, speedUmPerS: 1, accelMmPerS2: -1, jerkMmPerS3: 0 },
    { distanceUm: 1, speedUmPerS: 1, accelMmPerS2: 1, jerkMmPerS3: Number.NaN },
    { distanceUm: Number.POSITIVE_INFINITY, speedUmPerS: 1, accelMmPerS2: 1, jerkMmPerS3: 0 },
  ])('refuses %o', (given) => {
    expect(() => planMotion(given)).toThrow(RangeError);
  });
});

describe('braking', () => {
  test('is the second half of a motion that just reaches the speed', () => {
    fc.assert(
      fc.property(request, ({ speedUmPerS, accelMmPerS2, jerkMmPerS3 }) => {
        const brake = planBrake(speedUmPerS, accelMmPerS2, jerkMmPerS3);
        const distanceUm = brake.distanceUm * 2;
        const plan = planMotion({ distanceUm, speedUmPerS, accelMmPerS2, jerkMmPerS3 });
        expect(plan.durationUs / (2 * brake.durationUs)).toBeCloseTo(1, 9);
      }),
    );
  });

  test('a rig with the specified watchdog has time to stop from 200 mm/s at 2 m/s2', () => {
    expect(planBrake(200_000, 2000, 0)).toEqual({ durationUs: 100_000, distanceUm: 10_000 });
    expect(planBrake(0, 2000, 0)).toEqual({ durationUs: 0, distanceUm: 0 });
  });
});

/** Vibration left after a deceleration from steady acceleration, by stepping the oscillator's equation. */
function simulatedAmplitudeUm(accelUmPerS2: number, rampS: number, frequencyHz: number): number {
  const omega = 2 * Math.PI * frequencyHz;
  const dt = 1e-6;
  let offset = accelUmPerS2 / omega ** 2;
  let speed = 0;
  for (let t = 0; t < rampS; t += dt) {
    const drive = accelUmPerS2 * (1 - (t + dt / 2) / rampS);
    speed += (drive - omega ** 2 * offset) * dt;
    offset += speed * dt;
  }
  return Math.hypot(offset, speed / omega);
}

describe('settling', () => {
  const base = { peakAccelMmPerS2: 2000, resonanceMilliHz: 25_000 };

  test.each([1000, 10_000, 25_000, 40_000, 55_000])('a ramp of %i us leaves what the oscillator says', (jerkRampUs) => {
    const formula = residualVibrationUm({ ...base, jerkRampUs });
    const simulated = simulatedAmplitudeUm(2e6, jerkRampUs / 1e6, 25);
    expect(Math.abs(formula - simulated)).toBeLessThan(0.5);
  });

  test('a sudden end leaves a/w^2, a ramp of one whole period nothing', () => {
    expect(residualVibrationUm({ ...base, jerkRampUs: 0 })).toBeCloseTo(2e6 / (2 * Math.PI * 25) ** 2, 9);
    expect(residualVibrationUm({ ...base, jerkRampUs: 40_000 })).toBeLessThan(1e-9);
  });

  test('after the wait the envelope has fallen to the residual', () => {
    const dwellUs = settleDwellUs({ ...base, jerkRampUs: 0, dampingPermille: 80, residualUm: 1 });
    const left = residualVibrationUm({ ...base, jerkRampUs: 0 }) * Math.exp((-0.08 * 2 * Math.PI * 25 * dwellUs) / 1e6);
    expect(left).toBeCloseTo(1, 9);
    expect(settleDwellUs({ ...base, jerkRampUs: 40_000, dampingPermille: 80, residualUm: 1 })).toBe(0);
  });

  test('never pretends to know: no damping, no resonance or no residual is refused', () => {
    const good = { ...base, jerkRampUs: 0, dampingPermille: 80, residualUm: 1 };
    expect(() => settleDwellUs({ ...good, dampingPermille: 0 })).toThrow(RangeError);
    expect(() => settleDwellUs({ ...good, residualUm: 0 })).toThrow(RangeError);
    expect(() => settleDwellUs({ ...good, resonanceMilliHz: 0 })).toThrow(RangeError);
  });
});

describe('approach', () => {
  const travel = { travelMinUm: -1000, travelMaxUm: 106_000 };
  const place = fc.integer({ min: -1000, max: 106_000 });

  test('ends at the target, from the asked side, inside the travel', () => {
    fc.assert(
      fc.property(place, place, fc.boolean(), fc.constantFrom(true, false, null), (fromUm, targetUm, up, lastUp) => {
        const legs = approachLegs({ fromUm, targetUm, up, lastUp, ...travel });
        let here = fromUm;
        for (const leg of legs) {
          here += leg;
          expect(here).toBeGreaterThanOrEqual(travel.travelMinUm);
          expect(here).toBeLessThanOrEqual(travel.travelMaxUm);
        }
        expect(here).toBe(targetUm);
        expect(legs.length).toBeLessThanOrEqual(2);
        const last = legs.at(-1);
        const atEnd = targetUm === (up ? travel.travelMinUm : travel.travelMaxUm);
        if (last === undefined) expect(lastUp === up || atEnd).toBe(true);
        else if (!atEnd) expect(last > 0).toBe(up);
      }),
      { numRuns: 1000 },
    );
  });

  test('straight, turning, and already there', () => {
    expect(approachLegs({ fromUm: 0, targetUm: 5000, up: true, lastUp: null, ...travel })).toEqual([5000]);
    expect(approachLegs({ fromUm: 9000, targetUm: 5000, up: true, lastUp: true, ...travel })).toEqual([
      -4000 - TAKE_UP_UM,
      TAKE_UP_UM,
    ]);
    expect(approachLegs({ fromUm: 5000, targetUm: 5000, up: true, lastUp: true, ...travel })).toEqual([]);
    expect(approachLegs({ fromUm: 5000, targetUm: 5000, up: true, lastUp: false, ...travel })).toEqual([
      -TAKE_UP_UM,
      TAKE_UP_UM,
    ]);
  });
});
