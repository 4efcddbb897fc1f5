/** A piece on its way through trimming is taken up where it stands: after a start, or when its serial is scanned. */
import type { TrimPiece } from '../../../../src/contract/trim.ts';
import { callCore } from '../../../bridge/calls.ts';
import { lastPiecesStore, snapshotStore, trimPieceStore } from '../../../bridge/station.ts';
import { chosenBatch, chosenJob, nextPieceStore, noPiece } from '../job-slip.ts';
import { lookUp } from '../shown-run.ts';

/** An end stays an end: measuring such a piece again begins anew. */
const isAtEnd = ({ state }: TrimPiece): boolean => ['accepted', 'ended', 'hopeless'].includes(state);

/** @returns null when the piece was never trimmed, or is at its end */
async function takeUp(serial: string): Promise<TrimPiece | null> {
  const piece = await callCore('trim.piece', { serial });
  if (piece === null || isAtEnd(piece)) return null;
  trimPieceStore.set(piece);
  if (piece.batch !== null && chosenBatch.get().trim() === '') chosenBatch.set(piece.batch);
  const summary = (await callCore('runs.ofSerial', { serial })).find(({ runId }) => runId === piece.runs.at(-1));
  if (summary !== undefined) await lookUp(summary);
  return piece;
}

/** After a start: the piece that was worked on last stands on the Bench again while it is on its way. */
export async function takeUpLast(): Promise<void> {
  const [newest] = lastPiecesStore.get();
  const serial = snapshotStore.get()?.trim?.serial ?? (newest?.job === 'trim' ? newest.serial : null);
  if (serial !== null && (await takeUp(serial)) !== null) chosenJob.set('trim');
}

/** A serial was scanned while tracks are trimmed. */
export async function takeUpScanned(serial: string): Promise<void> {
  if ((await takeUp(serial)) !== null) nextPieceStore.set((now) => (now.text === serial ? noPiece : now));
}
