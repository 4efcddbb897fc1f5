/** What trimming keeps up while any screen is open: the piece that waits to be measured, and what is known here only. */
import { callCore } from '../../../bridge/calls.ts';
import {
  attempt,
  lastPiecesStore,
  lifeStore,
  needleStore,
  settingsStore,
  snapshotStore,
  trimPieceStore,
} from '../../../bridge/station.ts';
import { playCue } from '../../../sound/play.ts';
import { chosenJob } from '../job-slip.ts';
import { lookUp } from '../shown-run.ts';
import { findPiece } from './trim-actions.ts';
import { askedStore, handStore } from './trim-state.ts';

export function followTrim(): () => void {
  let isLookedFor = false;
  const lookOnce = (): void => {
    if (isLookedFor || lifeStore.get().state !== 'running' || lastPiecesStore.get().length === 0) return;
    isLookedFor = true;
    void attempt(takeUp);
  };
  const ends = [
    lifeStore.subscribe(() => {
      if (lifeStore.get().state === 'running') return;
      // Nobody knows what was cut meanwhile, and no needle stands any more.
      askedStore.set(null);
      needleStore.set(null);
      handStore.set(false);
      isLookedFor = false;
    }),
    lastPiecesStore.subscribe(lookOnce),
    lifeStore.subscribe(lookOnce),
    trimPieceStore.subscribe(soundEnd),
  ];
  lookOnce();
  return () => {
    for (const end of ends) end();
  };
}

/** After a start: the piece that was worked on last stands on the Bench again when it waits to be measured. */
async function takeUp(): Promise<void> {
  const [newest] = lastPiecesStore.get();
  const serial = snapshotStore.get()?.trim?.serial ?? (newest?.job === 'trim' ? newest.serial : null);
  if (serial === null) return;
  const piece = await findPiece(serial);
  if (piece === null || ['accepted', 'ended', 'hopeless'].includes(piece.state)) return;
  chosenJob.set('trim');
  await showCurve(serial, piece.runs.at(-1));
}

/** Puts the curve of a piece's newest measurement beside its track. */
export async function showCurve(serial: string, runId: string | undefined): Promise<void> {
  if (runId === undefined) return;
  const runs = await callCore('runs.ofSerial', { serial });
  const summary = runs.find((run) => run.runId === runId);
  if (summary !== undefined) await lookUp(summary);
}

const endCues = { accepted: 'pass', ended: 'fail', hopeless: 'fail' } as const;
let soundedFor = '';

function soundEnd(): void {
  const piece = trimPieceStore.get();
  if (piece === null || !(piece.state in endCues)) return;
  const once = `${piece.serial} ${piece.changedAt}`;
  if (once === soundedFor) return;
  soundedFor = once;
  if (settingsStore.get()?.sound === true) playCue(endCues[piece.state as keyof typeof endCues]);
}
