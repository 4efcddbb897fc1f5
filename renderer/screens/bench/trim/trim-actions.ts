/** What the keys of trimming do. */
import type { TrimPiece } from '../../../../src/contract/trim.ts';
import { callCore } from '../../../bridge/calls.ts';
import { needleStore, settingsStore, snapshotStore, trimPieceStore, writeSettings } from '../../../bridge/station.ts';
import { makeStore } from '../../../bridge/store.ts';
import { chosenBatch, chosenOperator, nextPieceStore, noPiece } from '../job-slip.ts';
import type { TrimAct } from './trim-headline.ts';
import { cutsLeft } from './trim-stage.ts';
import { askedStore } from './trim-state.ts';
import { endHand } from './virtual-hand.ts';

/** A question to the core is under way: a second Enter must not ask it again. */
export const busyStore = makeStore<boolean>(false);

async function once(work: () => Promise<void>): Promise<void> {
  if (busyStore.get()) return;
  busyStore.set(true);
  try {
    await work();
  } finally {
    busyStore.set(false);
  }
}

/** @param operator who stands at the bench; null = nobody is chosen, then the one who began the piece */
const operatorOf = (piece: TrimPiece): string => chosenOperator.get() ?? piece.operator;

/** What the violet key does. `next` is the Bench's own. */
export const doTrim = (act: Exclude<TrimAct, 'next'>, piece: TrimPiece): Promise<void> =>
  once(async () => {
    if (act === 'measure') await measure(piece);
    else if (act === 'askCuts') await askCuts(piece);
    else
      await cutsMade(
        piece,
        act === 'allCutsMade'
          ? 'all'
          : cutsLeft(piece)
              .slice(0, 1)
              .map((cut) => cut.number),
      );
  });

async function measure({ serial, lawId, batch }: TrimPiece): Promise<void> {
  const operator = chosenOperator.get();
  if (operator === null) return;
  const onSlip = chosenBatch.get().trim();
  await callCore('trim.start', { serial, operator, lawId, batch: onSlip === '' ? batch : onSlip });
  nextPieceStore.set((now) => (now.text === serial ? noPiece : now));
  if (settingsStore.get()?.lastLawId !== lawId) await writeSettings({ lastLawId: lawId });
}

async function askCuts(piece: TrimPiece): Promise<void> {
  const asked = await callCore('trim.askCuts', { serial: piece.serial, operator: operatorOf(piece) });
  askedStore.set({ serial: asked.serial, pass: asked.pass });
  trimPieceStore.set(asked);
}

/** The virtual rig's fader is cut by its own hand; a real one was cut by the person who pressed the key. */
export async function cutsMade(
  piece: TrimPiece,
  numbers: 'all' | readonly number[],
  isCutAlready = false,
): Promise<void> {
  const left = cutsLeft(piece);
  const cuts = numbers === 'all' ? left : left.filter(({ number }) => numbers.includes(number));
  if (cuts.length === 0) return;
  if (snapshotStore.get()?.virtual != null && !isCutAlready) {
    await callCore('virtual.applyCuts', { cuts: [...cuts], toolId: piece.toolId });
  }
  const done = await callCore('trim.cutsDone', {
    serial: piece.serial,
    operator: operatorOf(piece),
    cuts: numbers === 'all' ? 'all' : cuts.map(({ number }) => number),
  });
  trimPieceStore.set(done);
}

/** The operator gives the piece up. */
export async function giveUp(piece: TrimPiece): Promise<void> {
  const ended = await callCore('trim.end', {
    serial: piece.serial,
    operator: operatorOf(piece),
    reason: 'Given up by the operator.',
  });
  trimPieceStore.set(ended);
}

export async function openNeedle(piece: TrimPiece, cellIndex: number): Promise<void> {
  await callCore('trim.needle.start', { serial: piece.serial, operator: operatorOf(piece), cellIndex });
}

/** Always safe to press. The virtual person closes the virtual guard again. */
export async function closeNeedle(): Promise<void> {
  await endHand();
  await callCore('trim.needle.stop', {});
  if (snapshotStore.get()?.virtual != null) {
    await callCore('virtual.interlocks', { guardClosed: true, emergencyStopReleased: true, clampClosed: true });
  }
}

/** The tool is away: the cell's cuts count as made, because they were made until the needle said stop. */
export async function needleDone(piece: TrimPiece, cellIndex: number): Promise<void> {
  await closeNeedle();
  // The core may have counted them as made already.
  const now = (await callCore('trim.piece', { serial: piece.serial })) ?? piece;
  trimPieceStore.set(now);
  const numbers = cutsLeft(now)
    .filter((cut) => cut.cellIndex === cellIndex)
    .map(({ number }) => number);
  await cutsMade(now, numbers, true);
  needleStore.set(null);
}
