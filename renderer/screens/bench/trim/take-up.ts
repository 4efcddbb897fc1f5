/** A scanned serial whose piece is on its way through trimming is taken up where it stands. */
import { trimPieceStore } from '../../../bridge/station.ts';
import { nextPieceStore, noPiece } from '../job-slip.ts';
import { showCurve } from './follow-trim.ts';
import { findPiece } from './trim-actions.ts';

export async function takeUpPiece(serial: string): Promise<void> {
  const before = trimPieceStore.get();
  const piece = before?.serial === serial ? before : await findPiece(serial);
  // An end stays an end; measuring it again begins anew.
  if (piece === null || ['accepted', 'ended', 'hopeless'].includes(piece.state)) return;
  nextPieceStore.set((now) => (now.text === serial ? noPiece : now));
  await showCurve(serial, piece.runs.at(-1));
}
