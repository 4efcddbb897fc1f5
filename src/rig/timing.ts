/**
 * The physical floor of a job and the choice of motion profiles, from what the rig says of itself. Pure.
 * Positions and distances in um, times in us.
 */
import { approachLegs, type MotionPlan, planMotion } from '../../firmware-protocol/codec/index.ts';
import type { GlideOrder, MotionOrder, RigLimits, VisitOrder } from '../procedure/rig-port.ts';

/** Dynamics for a motion, ready to be put into an order, and the wait after it. */
export interface MotionProfile {
  readonly speedUmPerS: number;
  readonly accelMmPerS2: number;
  readonly jerkMmPerS3: number;
  readonly dwellUs: number;
  /** Duration of the motion alone. */
  readonly moveUs: number;
}

/** Duration of a visit as the protocol prescribes it: legs, dwell, conversions. No line, no host. */
export function visitFloorUs(
  limits: RigLimits,
  order: VisitOrder,
  fromUm: number,
  lastApproach: 'up' | 'down' | null = null,
): number {
  const legs = approachLegs({
    fromUm,
    targetUm: order.targetUm,
    up: order.approach === 'up',
    lastUp: lastApproach === null ? null : lastApproach === 'up',
    travelMinUm: limits.travelMinUm,
    travelMaxUm: limits.travelMaxUm,
  });
  return legsUs(legs, order) + order.dwellUs + order.integrationUs * order.conversions;
}

export function glideFloorUs(order: GlideOrder, fromUm: number): number {
  return legsUs([order.targetUm - fromUm], order);
}

/** Straight back to the home switch at homing speed; what the rig does at the switch comes on top. */
export function homeFloorUs(limits: RigLimits, fromUm: number): number {
  return legsUs([-fromUm], {
    speedUmPerS: limits.homeSpeedUmPerS,
    accelMmPerS2: limits.accelMaxMmPerS2,
    jerkMmPerS3: 0,
  });
}

function legsUs(legs: readonly number[], motion: Omit<MotionOrder, 'targetUm'>): number {
  return legs.reduce((sum, distanceUm) => sum + planMotion({ distanceUm, ...motion }).durationUs, 0);
}

/**
 * The fastest way to cover `distanceUm` and settle to `residualUm`. A hard start saves motion time and costs settling
 * time: pairs of acceleration and jerk are tried and the smallest total taken.
 * Throws RangeError when `residualUm` is not positive.
 */
export function profileFor(limits: RigLimits, distanceUm: number, residualUm: number): MotionProfile {
  return profileForLegs(limits, [distanceUm], residualUm);
}

/** As `profileFor`, for a visit that may have to turn to reach its target from the asked side. */
export function profileForVisit(
  limits: RigLimits,
  visit: {
    readonly fromUm: number;
    readonly targetUm: number;
    readonly approach: 'up' | 'down';
    readonly lastApproach: 'up' | 'down' | null;
  },
  residualUm: number,
): MotionProfile {
  const legs = approachLegs({
    fromUm: visit.fromUm,
    targetUm: visit.targetUm,
    up: visit.approach === 'up',
    lastUp: visit.lastApproach === null ? null : visit.lastApproach === 'up',
    travelMinUm: limits.travelMinUm,
    travelMaxUm: limits.travelMaxUm,
  });
  return profileForLegs(limits, legs, residualUm);
}

const ACCEL_SHARES = [1, 0.85, 0.7, 0.6, 0.5, 0.42, 0.35, 0.3, 0.25, 0.2, 0.15, 0.1];
const JERK_SHARES = [1, 0.85, 0.7, 0.6, 0.5, 0.42, 0.35, 0.3, 0.25, 0.2, 0.15, 0.1, 0.07, 0.05];
/** Jerk ramps of whole vibration periods cancel the vibration, as far as the resonance is known. */
const RAMP_PERIODS = [1, 2, 3, 4];
/** The rig's resonance is a nominal value: the worst vibration within this share of it counts. */
const RESONANCE_SPREAD = [0.95, 1, 1.05];

function profileForLegs(limits: RigLimits, legs: readonly number[], residualUm: number): MotionProfile {
  if (!(residualUm > 0)) throw new RangeError(`A residual of ${residualUm} um is never reached; ask for more than 0.`);
  let best: MotionProfile | null = null;
  for (const share of ACCEL_SHARES) {
    const accelMmPerS2 = Math.max(1, Math.round(limits.accelMaxMmPerS2 * share));
    for (const jerkMmPerS3 of jerksToTry(limits, accelMmPerS2)) {
      const motion = { speedUmPerS: limits.speedMaxUmPerS, accelMmPerS2, jerkMmPerS3 };
      const moveUs = legsUs(legs, motion);
      const dwellUs = dwellFor(limits, legs, motion, residualUm);
      if (best === null || moveUs + dwellUs < best.moveUs + best.dwellUs) best = { ...motion, dwellUs, moveUs };
    }
  }
  if (best === null) throw new RangeError('The rig reports no acceleration to move with.');
  return best;
}

function jerksToTry(limits: RigLimits, accelMmPerS2: number): readonly number[] {
  if (limits.jerkMaxMmPerS3 === 0) return [0];
  const shares = JERK_SHARES.map((share) => limits.jerkMaxMmPerS3 * share);
  const periods = RAMP_PERIODS.map((count) => (accelMmPerS2 * limits.resonanceMilliHz) / 1000 / count);
  const usable = [...shares, ...periods].map(Math.round).filter((jerk) => jerk >= 1 && jerk <= limits.jerkMaxMmPerS3);
  return [0, ...new Set(usable)];
}

/**
 * Wait until the envelope of all shocks of the last two legs has fallen to the residual. Each leg shocks the carriage
 * four times (start, end of speeding up, start of braking, stop); a shock decays with exp(-zeta w t). Their phases are
 * left out and the amplitudes added: an upper bound.
 */
function dwellFor(
  limits: RigLimits,
  legs: readonly number[],
  motion: Omit<MotionOrder, 'targetUm'>,
  residualUm: number,
): number {
  const decayPerUs = ((limits.dampingPermille / 1000) * 2 * Math.PI * (limits.resonanceMilliHz / 1000)) / 1e6;
  let sinceUs = 0;
  let amplitudeUm = 0;
  for (const distanceUm of legs.toReversed().slice(0, 2)) {
    const plan = planMotion({ distanceUm, ...motion });
    const shockUm = Math.max(...RESONANCE_SPREAD.map((spread) => shockAmplitudeUm(limits, plan, spread)));
    const brakeUs = (plan.peakSpeedUmPerS / (plan.peakAccelMmPerS2 * 1000)) * 1e6 + plan.jerkRampUs;
    const { durationUs, jerkRampUs } = plan;
    for (const agoUs of [0, brakeUs - jerkRampUs, durationUs - brakeUs, durationUs - jerkRampUs]) {
      amplitudeUm += shockUm * Math.exp(-decayPerUs * (sinceUs + agoUs));
    }
    sinceUs += durationUs;
  }
  return amplitudeUm <= residualUm ? 0 : Math.ceil(Math.log(amplitudeUm / residualUm) / decayPerUs);
}

/**
 * Vibration (um) at the end of a linear change of acceleration by `a` within the ramp T, of an oscillator with damping:
 * a/w^2 / sqrt(1 - zeta^2) |(1 - exp(-s T)) / (s T)|, s = w (zeta + i sqrt(1 - zeta^2)). That is the mean of the step
 * responses along the ramp; for zeta = 0 it is the sinc of the protocol's settling formula, which forgets that damping
 * spoils the cancellation over whole periods.
 */
function shockAmplitudeUm(limits: RigLimits, plan: MotionPlan, resonanceSpread: number): number {
  const omega = 2 * Math.PI * (limits.resonanceMilliHz / 1000) * resonanceSpread;
  const zeta = Math.min(limits.dampingPermille / 1000, 0.99);
  const root = Math.sqrt(1 - zeta * zeta);
  const stepUm = (plan.peakAccelMmPerS2 * 1000) / omega ** 2 / root;
  const turns = omega * (plan.jerkRampUs / 1e6);
  if (turns === 0) return stepUm;
  const left = Math.exp(-zeta * turns);
  return (stepUm * Math.hypot(1 - left * Math.cos(root * turns), left * Math.sin(root * turns))) / turns;
}
