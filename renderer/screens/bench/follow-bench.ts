/** What the Bench keeps up while any screen is open: the shown run, its sound, and what a virtual rig offers. */
import { recordedStore, settingsStore, showTrouble, snapshotStore } from '../../bridge/station.ts';
import { playCue } from '../../sound/play.ts';
import { chooseLawOfPart, isMeasuring } from './actions.ts';
import { afterVerdict, chosenOperator, nextPieceStore, withOffer } from './job-slip.ts';
import { lawsStore } from './laws-at-hand.ts';
import { followRecorded } from './shown-run.ts';
import { followTrim } from './trim/follow-trim.ts';

export function followBench(): () => void {
  const ends = [
    followRecorded(showTrouble),
    recordedStore.subscribe(() => {
      const recorded = recordedStore.get();
      if (recorded === null) return;
      nextPieceStore.set(afterVerdict);
      // A raw track is outside its limits as a rule; its end has a cue of its own.
      if (settingsStore.get()?.sound === true && recorded.summary.job !== 'trim') playCue(recorded.summary.verdict);
    }),
    snapshotStore.subscribe(offerNext),
    settingsStore.subscribe(offerOperator),
    nextPieceStore.subscribe(offerLaw),
    lawsStore.subscribe(offerLaw),
    followTrim(),
  ];
  offerNext();
  offerOperator();
  return () => {
    for (const end of ends) end();
  };
}

function offerNext(): void {
  const offered = isMeasuring() ? null : (snapshotStore.get()?.virtual?.nextSerial ?? null);
  const now = nextPieceStore.get();
  const next = withOffer(now, offered);
  if (next.text !== now.text || next.state !== now.state) nextPieceStore.set(next);
}

let lawOfferedFor: string | null = null;

/** An offered fader brings the law of its part, as a scanned one does; once, so that another choice stays. */
function offerLaw(): void {
  const { state, text } = nextPieceStore.get();
  if (state === 'offered' && text !== lawOfferedFor && chooseLawOfPart(text)) lawOfferedFor = text;
}

/** The first of the list stands here until somebody says otherwise. */
function offerOperator(): void {
  const operators = settingsStore.get()?.operators ?? [];
  const chosen = chosenOperator.get();
  if (chosen === null || !operators.includes(chosen)) chosenOperator.set(operators[0] ?? null);
}
