/** Builds the steps of a point check, keeping track of where the carriage will stand. */
import type { Law } from '../law/build.ts';
import { slopeAt } from '../law/curve.ts';
import { positionUmFor } from '../trust/apply.ts';
import { ringResidualUm } from '../trust/assumptions.ts';
import type { Calibration } from '../trust/calibration.ts';
import type { Approach, RigLimits } from './rig-port.ts';
import type { Step } from './steps.ts';

/** Dynamics of a motion and the wait after it; `src/rig/timing.ts` makes them. */
export interface MotionProfile {
  readonly speedUmPerS: number;
  readonly accelMmPerS2: number;
  readonly jerkMmPerS3: number;
  readonly dwellUs: number;
  /** Duration of the motion alone, when known. */
  readonly moveUs?: number;
}

export interface VisitPlace {
  readonly fromUm: number;
  readonly targetUm: number;
  readonly approach: Approach;
  readonly lastApproach: Approach | null;
}

export interface PointCheckOptions {
  /** One conversion: whole mains cycles. 20 000 us for 50 Hz, 16 667 for 60 Hz. */
  readonly integrationUs: number;
  readonly conversions: number;
  /** From this loss on `quietConversions` are taken. */
  readonly quietLossDb: number;
  readonly quietConversions: number;
  /** On the closed stop. */
  readonly closedConversions: number;
  /** Stretch of each end that is glided over, mm. */
  readonly endMm: number;
  readonly glideSpeedUmPerS: number;
  /** How often the operator is asked to close what is open. */
  readonly interlockAsks: number;
  /** Full strokes, up and down, before the first reading: film and loose dirt are wiped off (common practice, no source). */
  readonly wipingStrokes: number;
  /** Most points that are wiped and read again when one alone stands out as dirt on the track does; 0 = none. */
  readonly secondLooks: number;
}

export const pointCheckDefaults: PointCheckOptions = {
  integrationUs: 20_000,
  conversions: 5,
  quietLossDb: 50,
  quietConversions: 10,
  closedConversions: 20,
  endMm: 3,
  glideSpeedUmPerS: 5_000,
  interlockAsks: 3,
  wipingStrokes: 2,
  secondLooks: 3,
};

export interface PointCheckInput {
  readonly law: Law;
  readonly calibration: Calibration;
  readonly limits: RigLimits;
  readonly profileFor: (limits: RigLimits, distanceUm: number, residualUm: number) => MotionProfile;
  /** As `profileFor`, knowing that a visit may have to turn. Without it the last leg alone is looked at. */
  readonly profileForVisit?: (limits: RigLimits, visit: VisitPlace, residualUm: number) => MotionProfile;
  readonly options?: Partial<PointCheckOptions>;
}

/** What a turn costs a visit when nobody says it better: past the target and back. */
const turnUm = 500;
/** What one exchange with the rig costs; only the bar on the screen depends on it. */
export const exchangeUs = 2_000;

export interface StepBuilder {
  /** Where the carriage will stand, rig scale. */
  readonly atUm: number;
  readonly options: PointCheckOptions;
  visit(pointIndex: number, approach: Approach): Step;
  move(label: string, travelMm: number, approach: Approach): Step;
  glide(label: string, purpose: 'closedEnd' | 'openEnd', travelMm: number): Step;
  readHere(
    kind: 'sense' | 'ohms',
    label: string,
    purpose: 'closed' | 'open' | 'totalResistance',
    conversions: number,
    targetMm: number,
  ): Step;
}

/** @param fromUm where the carriage stands before the first step, rig scale */
export function createStepBuilder(input: PointCheckInput, fromUm: number, lastApproach: Approach | null): StepBuilder {
  const { law, calibration, limits } = input;
  const options = { ...pointCheckDefaults, ...input.options };
  const { integrationUs } = options;
  let atUm = fromUm;
  let last = lastApproach;

  const profile = (place: VisitPlace, residualUm: number): MotionProfile =>
    input.profileForVisit?.(limits, place, residualUm) ??
    input.profileFor(limits, Math.max(1, Math.abs(place.targetUm - place.fromUm)), residualUm);

  const arrive = (travelMm: number, approach: Approach, residualUm: number) => {
    const targetUm = positionUmFor(travelMm, approach, calibration);
    const place: VisitPlace = { fromUm: atUm, targetUm, approach, lastApproach: last };
    const { dwellUs, moveUs, speedUmPerS, accelMmPerS2, jerkMmPerS3 } = profile(place, residualUm);
    const motion = { targetUm, speedUmPerS, accelMmPerS2, jerkMmPerS3 };
    const distanceUm = Math.abs(targetUm - atUm);
    const isStraight = distanceUm === 0 ? last === approach : targetUm > atUm === (approach === 'up');
    atUm = targetUm;
    last = approach;
    return {
      motion,
      dwellUs,
      moveUs: moveUs ?? trapezoidUs(isStraight ? distanceUm : distanceUm + 2 * turnUm, motion),
    };
  };

  return {
    options,
    get atUm() {
      return atUm;
    },
    visit(pointIndex, approach) {
      const point = law.points[pointIndex];
      if (point === undefined) throw new RangeError(`The law ${law.id} has no point ${pointIndex + 1}.`);
      const slope = Math.abs(slopeAt(law, point.travelMm) ?? 0);
      const { motion, dwellUs, moveUs } = arrive(point.travelMm, approach, ringResidualUm(slope));
      const conversions = point.lossDb >= options.quietLossDb ? options.quietConversions : options.conversions;
      return {
        kind: 'visit',
        label: `Point ${pointIndex + 1} of ${law.points.length}, moving ${approach}`,
        order: { ...motion, approach, dwellUs, integrationUs, conversions },
        tag: { purpose: 'point', pointIndex, targetMm: point.travelMm },
        expectedUs: moveUs + dwellUs + integrationUs * conversions + exchangeUs,
      };
    },
    move(label, travelMm, approach) {
      const { motion, moveUs } = arrive(travelMm, approach, ringResidualUm(0));
      return { kind: 'move', label, order: motion, approach, expectedUs: moveUs + exchangeUs };
    },
    glide(label, purpose, travelMm) {
      const targetUm = positionUmFor(travelMm, 'up', calibration);
      const distanceUm = Math.abs(targetUm - atUm);
      const { accelMmPerS2, jerkMmPerS3 } = input.profileFor(limits, Math.max(1, distanceUm), ringResidualUm(0));
      const speedUmPerS = Math.min(options.glideSpeedUmPerS, limits.speedMaxUmPerS);
      const motion = { targetUm, speedUmPerS, accelMmPerS2, jerkMmPerS3 };
      atUm = targetUm;
      last = 'up';
      return {
        kind: 'glide',
        label,
        purpose,
        order: { ...motion, samplePeriodUs: Math.max(limits.samplePeriodMinUs, integrationUs) },
        expectedUs: trapezoidUs(distanceUm, motion) + exchangeUs,
      };
    },
    readHere(kind, label, purpose, conversions, targetMm) {
      return {
        kind,
        label,
        order: { integrationUs, conversions },
        tag: { purpose, pointIndex: null, targetMm },
        expectedUs: integrationUs * conversions + exchangeUs,
      };
    },
  };
}

/** Rest to rest with a trapezoid of speed, us: D/v + v/a, or 2 sqrt(D/a) when the speed is not reached. */
export function trapezoidUs(
  distanceUm: number,
  motion: { readonly speedUmPerS: number; readonly accelMmPerS2: number },
): number {
  const accel = motion.accelMmPerS2 * 1000;
  const reached = distanceUm >= motion.speedUmPerS ** 2 / accel;
  const seconds = reached
    ? distanceUm / motion.speedUmPerS + motion.speedUmPerS / accel
    : 2 * Math.sqrt(distanceUm / accel);
  return seconds * 1e6;
}
