/** The least time that a plan can take on a rig, from the rig's own limits: motion, settling, conversions; no line, no host. */
import type { RigLimits } from '../procedure/rig-port.ts';
import type { Step } from '../procedure/steps.ts';
import { glideFloorUs, homeFloorUs, visitFloorUs } from '../rig/timing.ts';

/** @param startUm where the carriage stands before the plan, um */
export function planFloorUs(plan: readonly Step[], limits: RigLimits, startUm: number): number {
  let atUm = startUm;
  let last: 'up' | 'down' | null = null;
  let sumUs = 0;
  for (const step of plan) {
    if (step.kind === 'home' || step.kind === 'park') {
      sumUs += homeFloorUs(limits, atUm);
      atUm = 0;
      last = null;
    } else if (step.kind === 'visit') {
      sumUs += visitFloorUs(limits, step.order, atUm, last);
      atUm = step.order.targetUm;
      last = step.order.approach;
    } else if (step.kind === 'move') {
      const reading = { integrationUs: 0, conversions: 0, dwellUs: 0, approach: step.approach };
      sumUs += visitFloorUs(limits, { ...step.order, ...reading }, atUm, last);
      atUm = step.order.targetUm;
      last = step.approach;
    } else if (step.kind === 'glide') {
      sumUs += glideFloorUs(step.order, atUm);
      last = step.order.targetUm >= atUm ? 'up' : 'down';
      atUm = step.order.targetUm;
    } else if (step.kind === 'sense' || step.kind === 'ohms') {
      sumUs += step.order.integrationUs * step.order.conversions;
    }
  }
  return sumUs;
}
