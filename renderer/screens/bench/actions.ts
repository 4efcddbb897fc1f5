/** What the Bench's keys do. */

import { CoreError } from '../../../src/contract/errors.ts';
import { callCore } from '../../bridge/calls.ts';
import { snapshotStore } from '../../bridge/station.ts';
import { chosenBatch, chosenJob, chosenLaw, chosenOperator, serialField } from './job-slip.ts';

const missing = (what: string): CoreError =>
  new CoreError({ code: 'request.incomplete', message: what, userFixable: true, details: [] });

export async function startRun(): Promise<void> {
  const operator = chosenOperator.get();
  const lawId = chosenLaw.get();
  const serial = serialField.get().trim();
  if (serial === '') throw missing('Scan the serial of the fader, or type it into the first field.');
  if (operator === null) throw missing('Say who measures: choose your initials, or add them in Settings.');
  if (lawId === null) throw missing('Choose the law the fader is to follow.');
  const batch = chosenBatch.get().trim();
  await callCore('run.start', { serial, operator, lawId, batch: batch === '' ? null : batch, job: chosenJob.get() });
}

/** Does nothing when nothing moves, so that Escape is always safe to press. */
export async function stopRun(): Promise<void> {
  const run = snapshotStore.get()?.run ?? null;
  if (run !== null && run.state !== 'ended' && run.state !== 'stopping') await callCore('run.stop', {});
}

export async function pauseOrResume(): Promise<void> {
  const state = snapshotStore.get()?.run?.state;
  if (state === 'running') await callCore('run.pause', {});
  else if (state === 'paused' || state === 'pausing') await callCore('run.resume', {});
}
