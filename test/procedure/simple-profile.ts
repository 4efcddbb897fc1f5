import { planMotion } from '../../firmware-protocol/codec/motion.ts';
import { settleDwellUs } from '../../firmware-protocol/codec/settling.ts';
import type { MotionProfile } from '../../src/procedure/point-check.ts';
import type { RigLimits } from '../../src/procedure/rig-port.ts';

/** A plain stand-in for the station's motion timing: half the acceleration, jerk ramp of one vibration period. */
export function simpleProfile(limits: RigLimits, distanceUm: number, residualUm: number): MotionProfile {
  const accelMmPerS2 = Math.round(limits.accelMaxMmPerS2 / 4);
  const jerkMmPerS3 = Math.min(limits.jerkMaxMmPerS3, Math.round((accelMmPerS2 * limits.resonanceMilliHz) / 1000));
  const motion = { speedUmPerS: limits.speedMaxUmPerS, accelMmPerS2, jerkMmPerS3 };
  const plan = planMotion({ distanceUm, ...motion });
  const dwellUs = settleDwellUs({
    peakAccelMmPerS2: plan.peakAccelMmPerS2,
    // The resonance is not known to the last hertz: as if the ramp were a little off.
    jerkRampUs: plan.jerkRampUs * 0.9,
    resonanceMilliHz: limits.resonanceMilliHz,
    dampingPermille: limits.dampingPermille,
    residualUm,
  });
  return { ...motion, dwellUs: Math.ceil(dwellUs), moveUs: plan.durationUs };
}
