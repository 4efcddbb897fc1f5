/** What the tests of the engine share: a short point check on the fake rig. */
import { expect } from 'vitest';
import { exampleLaw } from '../../src/law/examples.ts';
import { pointCheck } from '../../src/procedure/point-check.ts';
import type { RunOptions } from '../../src/procedure/run-types.ts';
import type { Procedure } from '../../src/procedure/steps.ts';
import { exampleCalibration as calibration } from '../trust/example-calibration.ts';
import { type FakeRig, fakeLimits } from './fake-rig.ts';
import { simpleProfile } from './simple-profile.ts';

export const law = exampleLaw('GF-60');
export const check = (): Procedure => pointCheck({ law, calibration, limits: fakeLimits, profileFor: simpleProfile });
export const optionsFor = (rig: FakeRig, more: Partial<RunOptions> = {}): RunOptions => ({
  nowMs: () => rig.nowMs,
  ...more,
});
/** Steps that become orders of the rig, which is all but `status`. */
const orderCount = check().plan.filter((step) => step.kind !== 'status').length;
export const everyOrder = Array.from({ length: orderCount }, (_, i) => i + 1);
export const never = (): Promise<void> => new Promise(() => {});

export function expectSafe(rig: FakeRig): void {
  expect(rig.isMoving).toBe(false);
  expect(rig.isPowered).toBe(false);
  expect(rig.listeners).toBe(0);
}
