/** What the Bench's keys and a scan do. */
import { CoreError } from '../../../src/contract/errors.ts';
import { callCore, callShell } from '../../bridge/calls.ts';
import {
  attempt,
  needleStore,
  settingsStore,
  showTrouble,
  snapshotStore,
  writeSettings,
} from '../../bridge/station.ts';
import { makeStore } from '../../bridge/store.ts';
import { openScreen } from '../../frame/open-screen.ts';
import { playCue } from '../../sound/play.ts';
import { topicStore } from '../settings/topics.ts';
import type { MainAct } from './headline.ts';
import {
  chosenBatch,
  chosenJob,
  chosenLaw,
  chosenOperator,
  nextPieceStore,
  noPiece,
  readSerial,
  taken,
} from './job-slip.ts';
import { lawsStore } from './laws-at-hand.ts';
import { shownRunStore } from './shown-run.ts';
import { takeUpScanned } from './trim/take-up.ts';
import { closeNeedle } from './trim/trim-actions.ts';

/** A run has been asked for and the core has not answered yet. */
export const startingStore = makeStore<boolean>(false);
/** Stop was pressed before the core had answered that the run begins. */
let isStopWished = false;
/** How often the piece of the newest run was measured, this time included. */
export const attemptStore = makeStore<{ readonly runId: string; readonly attempt: number } | null>(null);
/** Counts up when the scan field should have the focus. */
export const wishForScanField = makeStore<number>(0);

const missing = (what: string): CoreError =>
  new CoreError({ code: 'request.incomplete', message: what, userFixable: true, details: [] });

export const isMeasuring = (): boolean => {
  const run = snapshotStore.get()?.run ?? null;
  return run !== null && run.state !== 'ended';
};

/** Puts the law on the slip that a serial's part names. @returns false while no such law is known */
export function chooseLawOfPart(serial: string): boolean {
  const { partLawId } = readSerial(serial);
  if (partLawId === null || lawsStore.get()?.some((law) => law.id === partLawId) !== true) return false;
  chosenLaw.set(partLawId);
  return true;
}

/** Takes what a scanner read (or what was typed and confirmed) as the next piece, and the law that its part names. */
export function takeSerial(text: string): void {
  const needle = needleStore.get();
  if (needle !== null && needle.state !== 'ended') {
    const message = `The live needle of ${needle.serial} is open. Take the tool away and close it, then scan again.`;
    showTrouble(new CoreError({ code: 'trim.needleOpen', message, userFixable: true, details: [] }));
    return;
  }
  needleStore.set(null);
  const next = taken(text);
  nextPieceStore.set(next);
  if (next.state !== 'taken') return;
  shownRunStore.set((shown) => (shown?.isLookedUp === true ? null : shown));
  if (chosenJob.get() === 'trim') void attempt(() => takeUpScanned(next.text));
  chooseLawOfPart(next.text);
  if (settingsStore.get()?.sound === true && !isMeasuring()) playCue('scan');
}

export async function startRun(): Promise<void> {
  if (startingStore.get() || isMeasuring()) return;
  const operator = chosenOperator.get();
  const lawId = chosenLaw.get();
  const { text, state } = nextPieceStore.get();
  const { serial } = readSerial(text);
  if (serial === null || state === 'typed' || state === 'misread')
    throw missing('Scan the serial of the fader, or type it and press Enter.');
  if (operator === null) throw missing('Say who measures: choose your initials, or add them in Settings.');
  if (lawId === null) throw missing('Choose the law the fader is to follow.');
  const batch = chosenBatch.get().trim();
  startingStore.set(true);
  try {
    const order = { serial, operator, lawId, batch: batch === '' ? null : batch };
    const job = chosenJob.get();
    isStopWished = false;
    attemptStore.set(
      job === 'trim' ? await callCore('trim.start', order) : await callCore('run.start', { ...order, job }),
    );
    if (isStopWished) await callCore('run.stop', {});
    nextPieceStore.set((now) => (now.text === text ? noPiece : now));
  } finally {
    startingStore.set(false);
  }
  if (settingsStore.get()?.lastLawId !== lawId) await writeSettings({ lastLawId: lawId });
}

/** Ends the run, or whatever else moves the carriage. Always safe to press: a halt of what stands does nothing. */
export async function stopRun(): Promise<void> {
  const snapshot = snapshotStore.get();
  const run = snapshot?.run ?? null;
  if (run !== null && run.state !== 'ended') {
    if (run.state !== 'stopping') await callCore('run.stop', {});
  } else if (snapshot?.trim?.needleCell != null) await closeNeedle();
  else if (startingStore.get()) isStopWished = true;
  else if (snapshot?.rig.state === 'ready') await callCore('rig.halt', {});
}

export async function pauseOrResume(): Promise<void> {
  const state = snapshotStore.get()?.run?.state;
  if (state === 'running') await callCore('run.pause', {});
  else if (state === 'paused' || state === 'pausing') await callCore('run.resume', {});
}

/** Presses the violet key. */
export function press(act: MainAct): void {
  if (act === 'start') void attempt(startRun, 'run.start');
  else if (act === 'resume') void attempt(pauseOrResume);
  else if (act === 'take') takeSerial(nextPieceStore.get().text);
  else if (act === 'scan') wishForScanField.set((count) => count + 1);
  else if (act === 'openRig') openScreen('rig');
  else if (act === 'openLaws') openScreen('laws');
  else if (act === 'restartCore') void attempt(() => callShell('core.restart', {}));
  else {
    topicStore.set('operators');
    openScreen('settings');
  }
}
