/** Presses the violet key while the live needle is shown. */
import type { NeedleReading, TrimPiece } from '../../../../src/contract/trim.ts';
import { callCore } from '../../../bridge/calls.ts';
import { attempt, needleStore, snapshotStore } from '../../../bridge/station.ts';
import { type NeedleFacts, needleWords } from './needle-words.ts';
import { needleDone } from './trim-actions.ts';
import { cutsLeft } from './trim-stage.ts';
import { handStore } from './trim-state.ts';
import { endHand, startHand } from './virtual-hand.ts';

/** What the words depend on, as it stands now. */
export function needleFacts(needle: NeedleReading, { toolKind }: TrimPiece): NeedleFacts {
  const snapshot = snapshotStore.get();
  return {
    needle,
    isVirtual: snapshot?.virtual != null,
    isHandCutting: handStore.get(),
    isGuardToOpen: toolKind === 'hand' && snapshot?.rig.interlocks?.guardClosed !== false,
  };
}

export function pressNeedle(needle: NeedleReading, piece: TrimPiece): void {
  const act = needleWords(needleFacts(needle, piece)).main?.act;
  const cut = cutsLeft(piece).find(({ cellIndex }) => cellIndex === needle.cellIndex);
  if (act === 'putAway') needleStore.set(null);
  else if (act === 'done') void attempt(() => needleDone(piece, needle.cellIndex));
  else if (act === 'endHand') void attempt(endHand);
  else if (act === 'startHand' && cut !== undefined) void attempt(() => startHand(cut, piece.toolId));
  else if (act === 'openGuard') void attempt(openVirtualGuard);
}

const openVirtualGuard = (): Promise<unknown> =>
  callCore('virtual.interlocks', { guardClosed: false, emergencyStopReleased: true, clampClosed: true });
