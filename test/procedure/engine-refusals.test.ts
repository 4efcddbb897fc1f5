import { describe, expect, it } from 'vitest';
import { exampleLaw } from '../../src/law/examples.ts';
import { runProcedure } from '../../src/procedure/engine.ts';
import { pointCheck } from '../../src/procedure/point-check.ts';
import type { Procedure, Step } from '../../src/procedure/steps.ts';
import { exampleCalibration as calibration } from '../trust/example-calibration.ts';
import { createFakeRig, fakeLimits } from './fake-rig.ts';
import { check, optionsFor } from './run-on-fake.ts';
import { simpleProfile } from './simple-profile.ts';

describe('before anything moves', () => {
  it('refuses a plan that leaves the travel of the rig, without one order', async () => {
    const rig = createFakeRig();
    const far = { ...calibration, position: { ...calibration.position, zeroMm: -60 } };
    const procedure = pointCheck({
      law: exampleLaw('PF-104'),
      calibration: far,
      limits: fakeLimits,
      profileFor: simpleProfile,
    });
    const result = await runProcedure(procedure, rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'planRefused' });
    expect(result.reason).toContain('mm');
    expect(rig.orders).toEqual([]);
  });

  it('asks the operator to close what is open, and goes on when it is', async () => {
    const rig = createFakeRig();
    rig.interlocks = { guardClosed: false, emergencyStopReleased: true, clampClosed: false };
    const questions: string[] = [];
    const ask = (question: string): Promise<boolean> => {
      questions.push(question);
      rig.interlocks = { guardClosed: true, emergencyStopReleased: true, clampClosed: questions.length > 1 };
      return Promise.resolve(true);
    };
    const result = await runProcedure(check(), rig, optionsFor(rig, { ask })).done;
    expect(result.outcome).toBe('completed');
    expect(questions).toEqual(['Close the clamp on the fader. Close the guard.', 'Close the clamp on the fader.']);
  });

  it.each([
    ['operatorDeclined', 'stopped', () => Promise.resolve(false)],
    ['interlockOpen', 'void', () => Promise.resolve(true)],
    ['operatorDeclined', 'stopped', undefined],
  ] as const)('ends as %s (%s) when they stay open', async (code, outcome, ask) => {
    const rig = createFakeRig();
    rig.interlocks = { guardClosed: false, emergencyStopReleased: true, clampClosed: true };
    const result = await runProcedure(check(), rig, optionsFor(rig, ask === undefined ? {} : { ask })).done;
    expect(result).toMatchObject({ outcome, code });
    expect(rig.orders).not.toContain('home');
  });

  it('can be stopped while the operator is asked', async () => {
    const rig = createFakeRig();
    rig.interlocks = { guardClosed: false, emergencyStopReleased: true, clampClosed: true };
    const run = runProcedure(check(), rig, optionsFor(rig, { ask: () => new Promise<boolean>(() => {}) }));
    await new Promise((resolve) => setImmediate(resolve));
    run.stop('No one there.');
    expect(await run.done).toMatchObject({ outcome: 'stopped', code: 'stopRequested' });
  });

  it('does nothing when it was called off beforehand', async () => {
    const rig = createFakeRig();
    const result = await runProcedure(check(), rig, optionsFor(rig, { signal: AbortSignal.abort() })).done;
    expect(result.outcome).toBe('stopped');
    expect(rig.orders).toEqual([]);
  });
});

describe('never completed wrongly', () => {
  it('is void when a procedure ends before its plan', async () => {
    const rig = createFakeRig();
    const plan: readonly Step[] = check().plan.slice(0, 2);
    const procedure: Procedure = {
      name: 'short',
      plan,
      *steps() {
        for (const step of plan.slice(0, 1)) yield step;
      },
    };
    expect((await runProcedure(procedure, rig, optionsFor(rig)).done).outcome).toBe('void');
  });

  it('is void when a procedure throws', async () => {
    const rig = createFakeRig();
    const procedure: Procedure = {
      name: 'broken',
      plan: [],
      // biome-ignore lint/correctness/useYield: a generator that fails at once
      *steps() {
        throw new RangeError('lost its way');
      },
    };
    const result = await runProcedure(procedure, rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'unexpected', reason: 'lost its way' });
  });

  it('refuses a step outside the plan that asks for too much', async () => {
    const rig = createFakeRig();
    const wild: Step = {
      kind: 'move',
      label: 'Off the end',
      approach: 'up',
      order: { targetUm: 999_999, speedUmPerS: 1000, accelMmPerS2: 100, jerkMmPerS3: 0 },
      expectedUs: 0,
    };
    const procedure: Procedure = {
      name: 'wild',
      plan: [],
      *steps() {
        yield wild;
      },
    };
    const result = await runProcedure(procedure, rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'planRefused' });
    expect(rig.orders.some((word) => word.startsWith('visit'))).toBe(false);
  });

  it('does not move on an interlock reading that has grown old', async () => {
    const rig = createFakeRig(2_000);
    rig.onOrder = (word) => {
      // No event tells of it: only looking again does.
      if (word === 'ohms') rig.interlocks = { guardClosed: false, emergencyStopReleased: true, clampClosed: true };
      return undefined;
    };
    const result = await runProcedure(check(), rig, optionsFor(rig)).done;
    expect(result).toMatchObject({ outcome: 'void', code: 'interlockOpen' });
    expect(rig.orders.slice(rig.orders.indexOf('ohms') + 1)).toEqual(['halt', 'power off']);
  });
});
