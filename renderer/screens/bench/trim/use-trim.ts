/** Everything the Bench shows of the piece that is trimmed; null = there is none to show. */
import { useEffect, useMemo, useState } from 'react';
import type { NeedleReading, TrimPiece } from '../../../../src/contract/trim.ts';
import type { LawData } from '../../../../src/law/law.ts';
import { needleStore, snapshotStore, trimPieceStore } from '../../../bridge/station.ts';
import { useStore } from '../../../bridge/store.ts';
import { openLocks } from '../headline.ts';
import { chosenJob, nextPieceStore } from '../job-slip.ts';
import { lawOf, lawsStore, readLaws } from '../laws-at-hand.ts';
import { type ShownRun, shownRunStore } from '../shown-run.ts';
import type { BenchView } from '../use-bench.ts';
import { type TrimFacts, type TrimHeadline, trimHeadline, withBench } from './trim-headline.ts';
import { type DrawnCut, drawnCuts, stageOf, type TrimStage } from './trim-stage.ts';
import { askedStore, type CutsView, cutsViewStore } from './trim-state.ts';

export interface TrimBench {
  readonly piece: TrimPiece;
  readonly stage: TrimStage;
  /** The law of the piece's own revision, not the one on the slip. */
  readonly law: LawData | null;
  readonly headline: TrimHeadline;
  readonly cuts: readonly DrawnCut[];
  readonly view: CutsView;
  readonly settleLeftS: number;
  /** The live needle of this piece; null = closed. */
  readonly needle: NeedleReading | null;
}

export function useTrim({ run, idle }: BenchView): TrimBench | null {
  const snapshot = useStore(snapshotStore);
  const job = useStore(chosenJob);
  const piece = useStore(trimPieceStore);
  const asked = useStore(askedStore);
  const view = useStore(cutsViewStore);
  const next = useStore(nextPieceStore);
  const needle = useStore(needleStore);
  const shown = useStore(shownRunStore);
  const laws = useStore(lawsStore);
  const trim = snapshot?.trim ?? null;
  const settleLeftS = useSettling(trim?.serial === piece?.serial ? (trim?.settleLeftMs ?? 0) : 0);
  const stage =
    piece === null ? null : stageOf(piece, { view: trim, asked, isMeasured: isNewlyMeasured(piece, shown) });
  const cuts = useMemo(
    () => (piece === null || stage === null ? [] : drawnCuts(piece, stage, view === 'one')),
    [piece, stage, view],
  );
  const law = piece === null ? null : lawOf(laws ?? [], piece.lawId, piece.lawRevision);
  const missingLaw = piece !== null && law === null ? `${piece.lawId} ${piece.lawRevision}` : null;
  // A revision that was kept after the laws were read.
  useEffect(() => {
    if (missingLaw !== null) void readLaws();
  }, [missingLaw]);
  // A hand is at the track: nothing may hide the needle, its tone and its Stop.
  const openNeedle = needle !== null && needle.serial === piece?.serial ? needle : null;
  if (piece === null || stage === null || (job !== 'trim' && openNeedle === null)) return null;
  // Another piece is in hand: this one keeps its state on disk and comes back when its serial is scanned.
  const isOther = run === null ? next.state === 'taken' && next.text !== piece.serial : run.serial !== piece.serial;
  // An older curve was picked from the last pieces.
  const isLookedAt = run === null && shown?.isLookedUp === true && shown.summary.serial !== piece.serial;
  if (((isOther || isLookedAt) && openNeedle === null) || idle.kind === 'coreAway') return null;
  return {
    piece,
    stage,
    law,
    headline: withBench(
      idle,
      trimHeadline({
        piece,
        stage,
        view,
        isKnownHere: asked?.serial === piece.serial && asked.pass === piece.pass,
        settleLeftS,
        toClose: openLocks(snapshot?.rig ?? null),
        newest: newestReason(piece, shown),
      }),
    ),
    cuts,
    view,
    settleLeftS,
    needle: openNeedle,
  };
}

/** Why the newest measurement of the piece gave its word; null = that is not at hand, or it passed. */
function newestReason({ serial, runs }: TrimPiece, shown: ShownRun | null): TrimFacts['newest'] {
  if (shown === null || shown.summary.serial !== serial) return null;
  const { verdict, verdictReason, runId } = shown.summary;
  if (verdict === 'pass' || (verdict !== 'void' && runId !== runs.at(-1))) return null;
  return { isVoid: verdict === 'void', reason: verdictReason };
}

/** A good measurement that the piece does not know of yet: what follows from it is on its way. */
const isNewlyMeasured = ({ serial, runs }: TrimPiece, shown: ShownRun | null): boolean =>
  shown !== null &&
  !shown.isLookedUp &&
  shown.summary.serial === serial &&
  shown.summary.job === 'trim' &&
  shown.summary.verdict !== 'void' &&
  !runs.includes(shown.summary.runId);

/** Counts down between two reports of the core, whole seconds. */
function useSettling(leftMs: number): number {
  const [nowMs, setNowMs] = useState(() => performance.now());
  const untilMs = useMemo(() => performance.now() + leftMs, [leftMs]);
  const isOver = leftMs <= 0 || nowMs >= untilMs;
  useEffect(() => {
    if (leftMs <= 0) return;
    setNowMs(performance.now());
    const timer = setInterval(() => setNowMs(performance.now()), 250);
    return () => clearInterval(timer);
  }, [leftMs]);
  return isOver ? 0 : Math.ceil((untilMs - nowMs) / 1_000);
}
