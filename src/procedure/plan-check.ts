import type { GlideOrder, MeterOrder, MotionOrder, RigLimits } from './rig-port.ts';
import type { Step } from './steps.ts';

export interface PlanProblem {
  /** Place in the plan, from 0. */
  readonly stepIndex: number;
  readonly label: string;
  readonly code:
    | 'travel'
    | 'speed'
    | 'acceleration'
    | 'jerk'
    | 'integration'
    | 'conversions'
    | 'samplePeriod'
    | 'number';
  readonly sentence: string;
}

type Finding = Pick<PlanProblem, 'code' | 'sentence'>;

/** Every step that asks for more than the rig allows; empty = the plan may start. Nothing moves here. */
export function checkPlan(plan: readonly Step[], limits: RigLimits): readonly PlanProblem[] {
  return plan.flatMap((step, stepIndex) =>
    checkStep(step, limits).map((finding) => ({ stepIndex, label: step.label, ...finding })),
  );
}

/** As `checkPlan`, for one step. */
export function checkStep(step: Step, limits: RigLimits): readonly Finding[] {
  switch (step.kind) {
    case 'visit':
      return [
        ...checkMotion(step.order, limits),
        ...checkMeter(step.order, limits),
        ...whole(step.order.dwellUs, 'dwell time'),
      ];
    case 'move':
      return checkMotion(step.order, limits);
    case 'sense':
    case 'ohms':
      return checkMeter(step.order, limits);
    case 'glide':
      return [...checkMotion(step.order, limits), ...checkSamples(step.order, limits)];
    case 'status':
    case 'power':
    case 'home':
    case 'park':
    case 'ask':
    case 'note':
      return [];
  }
}

function checkMotion(order: MotionOrder, limits: RigLimits): Finding[] {
  const findings: Finding[] = [
    ...whole(order.targetUm, 'target'),
    ...whole(order.speedUmPerS, 'speed'),
    ...whole(order.accelMmPerS2, 'acceleration'),
    ...whole(order.jerkMmPerS3, 'jerk'),
  ];
  if (order.targetUm < limits.travelMinUm || order.targetUm > limits.travelMaxUm) {
    findings.push({
      code: 'travel',
      sentence: `The carriage would have to go to ${mm(order.targetUm)} mm; this rig reaches from ${mm(limits.travelMinUm)} to ${mm(limits.travelMaxUm)} mm. Check the law's travel and the rig's calibration.`,
    });
  }
  if (order.speedUmPerS <= 0 || order.speedUmPerS > limits.speedMaxUmPerS) {
    findings.push({
      code: 'speed',
      sentence: `Speed ${mm(order.speedUmPerS)} mm/s is outside the rig's 0 to ${mm(limits.speedMaxUmPerS)} mm/s.`,
    });
  }
  if (order.accelMmPerS2 <= 0 || order.accelMmPerS2 > limits.accelMaxMmPerS2) {
    findings.push({
      code: 'acceleration',
      sentence: `Acceleration ${order.accelMmPerS2} mm/s2 is outside the rig's 0 to ${limits.accelMaxMmPerS2} mm/s2.`,
    });
  }
  if (order.jerkMmPerS3 < 0 || (order.jerkMmPerS3 > limits.jerkMaxMmPerS3 && limits.jerkMaxMmPerS3 > 0)) {
    findings.push({
      code: 'jerk',
      sentence: `Jerk ${order.jerkMmPerS3} mm/s3 is outside the rig's 0 to ${limits.jerkMaxMmPerS3} mm/s3.`,
    });
  }
  return findings;
}

function checkMeter(order: MeterOrder, limits: RigLimits): Finding[] {
  const findings: Finding[] = [
    ...whole(order.integrationUs, 'integration time'),
    ...whole(order.conversions, 'conversions'),
  ];
  if (order.integrationUs < limits.integrationMinUs || order.integrationUs > limits.integrationMaxUs) {
    findings.push({
      code: 'integration',
      sentence: `Integration ${order.integrationUs} us is outside the rig's ${limits.integrationMinUs} to ${limits.integrationMaxUs} us.`,
    });
  }
  if (order.conversions < 1 || order.conversions > limits.conversionsMax) {
    findings.push({
      code: 'conversions',
      sentence: `${order.conversions} conversions asked for; the rig takes 1 to ${limits.conversionsMax}.`,
    });
  }
  return findings;
}

function checkSamples(order: GlideOrder, limits: RigLimits): Finding[] {
  if (order.samplePeriodUs >= limits.samplePeriodMinUs) return whole(order.samplePeriodUs, 'sample period');
  return [
    {
      code: 'samplePeriod',
      sentence: `A sample every ${order.samplePeriodUs} us is faster than this line carries (${limits.samplePeriodMinUs} us).`,
    },
  ];
}

/** The wire carries whole numbers only; a NaN or a fraction is a defect of the plan. */
function whole(value: number, what: string): Finding[] {
  return Number.isSafeInteger(value)
    ? []
    : [{ code: 'number', sentence: `The ${what} ${value} is not a whole number.` }];
}

const mm = (um: number): string => (um / 1000).toFixed(2);
