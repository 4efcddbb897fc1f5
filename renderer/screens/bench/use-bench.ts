/** Everything the Bench shows, gathered from the stores. */
import { useMemo } from 'react';
import type { Snapshot } from '../../../src/contract/state.ts';
import type { LawData } from '../../../src/law/law.ts';
import { lifeStore, settingsStore, snapshotStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { dateTimeText } from '../../format/dates.ts';
import { attemptStore, startingStore } from './actions.ts';
import { type BenchFacts, type Headline, headline, showsVerdict } from './headline.ts';
import { chosenLaw, chosenOperator, nextPieceStore, readSerial } from './job-slip.ts';
import { lawOf, lawsStore } from './laws-at-hand.ts';
import { type ShownRun, shownRunStore } from './shown-run.ts';
import { useEarlier } from './use-earlier.ts';

/** The piece that strip and chart belong to. */
export interface PieceAtHand {
  readonly serial: string | null;
  /** Null = the first time, or not known. */
  readonly attempt: number | null;
}

export interface BenchView {
  readonly headline: Headline;
  /** The same without a verdict that is shown: what the bench is ready for next. */
  readonly idle: Headline;
  readonly isCoreThere: boolean;
  /** Null without a fresh report of the rig. */
  readonly positionMm: number | null;
  readonly run: NonNullable<Snapshot['run']> | null;
  /** The verdict that is shown; null while a piece is measured or waits to be. */
  readonly shown: ShownRun | null;
  readonly law: LawData | null;
  readonly piece: PieceAtHand;
}

export function useBench(): BenchView {
  const snapshot = useStore(snapshotStore);
  const life = useStore(lifeStore);
  const settings = useStore(settingsStore);
  const next = useStore(nextPieceStore);
  const operator = useStore(chosenOperator);
  const lawId = useStore(chosenLaw);
  const laws = useStore(lawsStore);
  const lastShown = useStore(shownRunStore);
  const isStarting = useStore(startingStore);
  const attempt = useStore(attemptStore);

  const run = snapshot?.run != null && snapshot.run.state !== 'ended' ? snapshot.run : null;
  const serial = useMemo(() => readSerial(next.text), [next.text]);
  const isAsked = life.state === 'running' && run === null && next.state !== 'typed';
  const earlier = useEarlier(isAsked ? serial.serial : null, lawId);
  const facts: BenchFacts = {
    life,
    rig: snapshot?.rig ?? null,
    run,
    isStarting,
    shown:
      lastShown === null
        ? null
        : {
            verdict: lastShown.summary.verdict,
            reason: lastShown.summary.verdictReason,
            nextStep: lastShown.nextStep,
            lookedUpAt: lastShown.isLookedUp ? dateTimeText(lastShown.summary.startedAt) : null,
          },
    next,
    serialProblem: serial.problem,
    earlier,
    operator,
    hasOperators: (settings?.operators.length ?? 0) > 0,
    lawId,
    hasLaws: laws === null || laws.length > 0,
    isVirtual: snapshot?.virtual != null,
  };
  const shown = showsVerdict(facts) ? lastShown : null;
  const runId = run?.runId ?? shown?.summary.runId ?? null;
  const measured = run ?? shown?.summary ?? null;
  return {
    headline: headline(facts),
    idle: headline({ ...facts, shown: null }),
    isCoreThere: snapshot !== null && settings !== null,
    positionMm: life.state === 'running' && snapshot?.rig.state === 'ready' ? snapshot.rig.positionMm : null,
    run,
    shown,
    law: lawOf(laws ?? [], measured?.lawId ?? lawId, measured?.lawRevision ?? null),
    piece: {
      serial: measured?.serial ?? serial.serial,
      attempt: attempt !== null && attempt.runId === runId && attempt.attempt > 1 ? attempt.attempt : null,
    },
  };
}
