/** Where a piece stands for the person at the bench, from what the core tells. Pure. */
import type { Cut, TrimPass, TrimPiece, TrimView } from '../../../../src/contract/trim.ts';
import type { AskedPass } from './trim-state.ts';

/**
 * `sorting` = measured, the planner is at work; `unsorted` = the measurement was void; `cutting` = cuts are asked for;
 * `unmeasured` = cuts were or may have been made and nothing was measured since.
 */
export type TrimStage =
  | 'sorting'
  | 'unsorted'
  | 'conforms'
  | 'trimmable'
  | 'cutting'
  | 'unmeasured'
  | 'accepted'
  | 'ended'
  | 'hopeless';

/** What the window knows beside the piece itself. */
export interface StageFacts {
  readonly view: TrimView | null;
  readonly asked: AskedPass | null;
  /** A measurement of this piece was recorded and what follows from it has not come yet. */
  readonly isMeasured: boolean;
}

export function stageOf(piece: TrimPiece, { view, asked, isMeasured }: StageFacts): TrimStage {
  if (isMeasured || (view?.serial === piece.serial && view.isPlanning)) return 'sorting';
  const isAsked = asked?.serial === piece.serial && asked.pass === piece.pass;
  if (piece.state === 'accepted') return piece.passes.length === 0 ? 'conforms' : 'accepted';
  if (piece.state === 'ended' || piece.state === 'hopeless') return piece.state;
  if (piece.state === 'cutsAsked' && isAsked) return 'cutting';
  if (piece.mustRemeasure || piece.state === 'cutsDone' || piece.state === 'cutsAsked') return 'unmeasured';
  if (piece.state === 'planned') return 'trimmable';
  return 'unsorted';
}

export const isOpen = (stage: TrimStage): boolean =>
  !(stage === 'conforms' || stage === 'accepted' || stage === 'ended' || stage === 'hopeless');

/** The pass whose cuts are asked for or made and not measured yet; null before the first. */
export const openPass = (piece: TrimPiece): TrimPass | null => {
  const last = piece.passes.at(-1) ?? null;
  return last !== null && last.runAfter === null ? last : null;
};

/** What is still to be cut in this pass, in the order of the plan. */
export function cutsLeft(piece: TrimPiece): readonly Cut[] {
  const done = new Set(openPass(piece)?.cutsDone ?? []);
  return (piece.plan?.cuts ?? []).filter((cut) => !done.has(cut.number));
}

/** The pass that the plan belongs to: the one that is asked for, or the one that would be. */
export const planPass = (piece: TrimPiece): number => (openPass(piece) === null ? piece.pass + 1 : piece.pass);

/** `unsure` = asked for, not reported as made, and nobody knows. */
export type CutState = 'done' | 'now' | 'later' | 'unsure';

export interface DrawnCut {
  /** Tells cuts of different passes apart. */
  readonly key: string;
  readonly cut: Cut;
  readonly state: CutState;
}

/**
 * Every cut of the piece: made in earlier passes, made in this one, asked for now, still to come.
 * @param isOne one cut at a time is asked for, so the next one stands out
 */
export function drawnCuts(piece: TrimPiece, stage: TrimStage, isOne: boolean): readonly DrawnCut[] {
  const open = openPass(piece);
  const earlier = piece.passes
    .filter((pass) => pass !== open)
    .flatMap(({ pass, plan, cutsDone }) =>
      plan.cuts
        .filter(({ number }) => cutsDone.includes(number))
        .map((cut): DrawnCut => ({ key: `${pass} ${cut.number}`, cut, state: 'done' })),
    );
  const left = cutsLeft(piece);
  const number = planPass(piece);
  const planned = (piece.plan?.cuts ?? []).map((cut): DrawnCut => {
    const isNow = stage === 'cutting' && isOne && cut.number === left[0]?.number;
    const toMake = stage === 'unmeasured' ? 'unsure' : isNow ? 'now' : 'later';
    const state = left.includes(cut) ? toMake : 'done';
    return { key: `${number} ${cut.number}`, cut, state };
  });
  const isShown = stage === 'trimmable' || stage === 'cutting' || stage === 'unmeasured';
  return isShown ? [...earlier, ...planned] : earlier;
}
