/**
 * The point check: closed stop, total resistance, closed end, every law point moving up, open end, open stop, every
 * law point moving down, park. One way up and one way down; the carriage goes nowhere twice without need.
 */
import type { Law } from '../law/build.ts';
import { slopeAt } from '../law/curve.ts';
import { positionUmFor, travelMmOf } from '../trust/apply.ts';
import { ringResidualUm } from '../trust/assumptions.ts';
import type { Calibration } from '../trust/calibration.ts';
import { InterlockOpenError, OperatorDeclinedError } from './errors.ts';
import type { Approach, Interlocks, RigLimits } from './rig-port.ts';
import type { Procedure, Step, StepGenerator } from './steps.ts';

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
/** Homing from the loading position, switch included; only the bar on the screen depends on it. */
const homeUs = 1_000_000;
const exchangeUs = 2_000;

/** The plan of a point check and the generator that walks it. */
export function pointCheck(input: PointCheckInput): Procedure {
  const plan = pointCheckPlan(input);
  const asks = input.options?.interlockAsks ?? pointCheckDefaults.interlockAsks;
  return { name: 'pointCheck', plan, steps: () => walk(plan, asks) };
}

function* walk(plan: readonly Step[], asks: number): StepGenerator {
  for (const step of plan) {
    let result = yield step;
    for (let asked = 0; result.kind === 'status'; asked += 1) {
      const open = openInterlocks(result.status.interlocks);
      if (open === null) break;
      if (asked >= asks) throw new InterlockOpenError(`${open} Nothing was moved; start again when it is done.`);
      const answer = yield { kind: 'ask', label: 'Waiting for the operator', question: open, expectedUs: 0 };
      if (answer.kind === 'answer' && !answer.goOn) {
        throw new OperatorDeclinedError(`The operator ended the run when asked: ${open}`);
      }
      result = yield { kind: 'status', label: 'Looking at the interlocks', expectedUs: exchangeUs };
    }
  }
}

/** What the operator must do before anything moves; null = nothing. */
export function openInterlocks(interlocks: Interlocks): string | null {
  const open: string[] = [];
  if (!interlocks.clampClosed) open.push('Close the clamp on the fader.');
  if (!interlocks.guardClosed) open.push('Close the guard.');
  if (!interlocks.emergencyStopReleased) open.push('Release the emergency stop when it is safe.');
  return open.length === 0 ? null : open.join(' ');
}

/** Every step of a point check in order. Pure. */
export function pointCheckPlan(input: PointCheckInput): readonly Step[] {
  const { law, calibration, limits } = input;
  const options = { ...pointCheckDefaults, ...input.options };
  const { integrationUs } = options;
  const steps: Step[] = [
    { kind: 'status', label: 'Looking at the interlocks', expectedUs: exchangeUs },
    { kind: 'power', label: 'Motor power on', on: true, expectedUs: exchangeUs },
    { kind: 'home', label: 'Homing', expectedUs: homeUs },
  ];
  let atUm = 0;
  let last: Approach | null = null;

  const at = (travelMm: number, approach: Approach): number => positionUmFor(travelMm, approach, calibration);
  const profile = (place: VisitPlace, residualUm: number): MotionProfile =>
    input.profileForVisit?.(limits, place, residualUm) ??
    input.profileFor(limits, Math.max(1, Math.abs(place.targetUm - place.fromUm)), residualUm);

  const arrive = (travelMm: number, approach: Approach, residualUm: number) => {
    const targetUm = at(travelMm, approach);
    const place: VisitPlace = { fromUm: atUm, targetUm, approach, lastApproach: last };
    const { dwellUs, moveUs, ...motion } = profile(place, residualUm);
    const distanceUm = Math.abs(targetUm - atUm);
    const straight = distanceUm === 0 ? last === approach : targetUm > atUm === (approach === 'up');
    const pathUm = straight ? distanceUm : distanceUm + 2 * turnUm;
    atUm = targetUm;
    last = approach;
    return { order: { targetUm, ...motion, approach, dwellUs }, moveUs: moveUs ?? trapezoidUs(pathUm, motion) };
  };

  const visit = (pointIndex: number, approach: Approach): void => {
    const point = law.points[pointIndex];
    if (point === undefined) return;
    const slope = Math.abs(slopeAt(law, point.travelMm) ?? 0);
    const { order, moveUs } = arrive(point.travelMm, approach, ringResidualUm(slope));
    const conversions = point.lossDb >= options.quietLossDb ? options.quietConversions : options.conversions;
    steps.push({
      kind: 'visit',
      label: `Point ${pointIndex + 1} of ${law.points.length}, moving ${approach}`,
      order: { ...order, integrationUs, conversions },
      tag: { purpose: 'point', pointIndex, targetMm: point.travelMm },
      expectedUs: moveUs + order.dwellUs + integrationUs * conversions + exchangeUs,
    });
  };

  const move = (label: string, travelMm: number, approach: Approach): void => {
    const { order, moveUs } = arrive(travelMm, approach, ringResidualUm(0));
    const { dwellUs: _, approach: side, ...motion } = order;
    steps.push({ kind: 'move', label, order: motion, approach: side, expectedUs: moveUs + exchangeUs });
  };

  const glide = (label: string, purpose: 'closedEnd' | 'openEnd', travelMm: number): void => {
    const targetUm = at(travelMm, 'up');
    const { accelMmPerS2, jerkMmPerS3 } = input.profileFor(limits, Math.max(1, Math.abs(targetUm - atUm)), 5);
    const speedUmPerS = Math.min(options.glideSpeedUmPerS, limits.speedMaxUmPerS);
    const motion = { targetUm, speedUmPerS, accelMmPerS2, jerkMmPerS3 };
    const samplePeriodUs = Math.max(limits.samplePeriodMinUs, integrationUs);
    const expectedUs = trapezoidUs(Math.abs(targetUm - atUm), motion) + exchangeUs;
    steps.push({ kind: 'glide', label, purpose, order: { ...motion, samplePeriodUs }, expectedUs });
    atUm = targetUm;
    last = 'up';
  };

  const readHere = (
    kind: 'sense' | 'ohms',
    label: string,
    purpose: 'closed' | 'open' | 'totalResistance',
    conversions: number,
    targetMm: number,
  ): void => {
    const expectedUs = integrationUs * conversions + exchangeUs;
    const tag = { purpose, pointIndex: null, targetMm };
    steps.push({ kind, label, order: { integrationUs, conversions }, tag, expectedUs });
  };

  // Home usually lies beyond the closed stop, with the knob pressed against it; if not, the stop is looked for.
  if (travelMmOf(0, 'still', calibration) > 0) move('To the closed stop', 0, 'down');
  readHere('sense', 'Loss on the closed stop', 'closed', options.closedConversions, 0);
  readHere('ohms', 'Total resistance', 'totalResistance', options.conversions, 0);
  if (travelMmOf(atUm, 'still', calibration) < -0.5) move('To the closed end', 0, 'up');
  glide('Over the closed end', 'closedEnd', options.endMm);
  for (let index = 0; index < law.points.length; index += 1) visit(index, 'up');
  const lastMm = law.points.at(-1)?.travelMm ?? 0;
  // Half of the stretch is enough to see the edge; only a point still nearer the stop is worth going back for.
  const nearest = law.travelMm - options.endMm / 2;
  if (lastMm < law.travelMm - options.endMm || lastMm > nearest)
    move('To the open end', law.travelMm - options.endMm, 'up');
  glide('Over the open end', 'openEnd', law.travelMm);
  readHere('sense', 'Loss on the open stop', 'open', options.conversions, law.travelMm);
  for (let index = law.points.length - 1; index >= 0; index -= 1) visit(index, 'down');
  const parkUs = trapezoidUs(Math.abs(atUm), {
    speedUmPerS: limits.homeSpeedUmPerS,
    accelMmPerS2: limits.accelMaxMmPerS2,
  });
  steps.push({ kind: 'park', label: 'Parking', expectedUs: parkUs + exchangeUs });
  return steps;
}

/** Rest to rest with a trapezoid of speed, us: D/v + v/a, or 2 sqrt(D/a) when the speed is not reached. */
function trapezoidUs(
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

/** Total of the expected durations, us. */
export function expectedUs(plan: readonly Step[]): number {
  return plan.reduce((sum, step) => sum + step.expectedUs, 0);
}
