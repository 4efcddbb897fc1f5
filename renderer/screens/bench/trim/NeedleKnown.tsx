import type { ReactElement } from 'react';
import type { NeedleReading, TrimPiece } from '../../../../src/contract/trim.ts';
import { attempt, snapshotStore } from '../../../bridge/station.ts';
import { useStore } from '../../../bridge/store.ts';
import { numberText, sentenceText } from '../../../format/numbers.ts';
import { ShapeFigure } from '../../../look/ShapeFigure.tsx';
import { approachShape, handsOffShape } from '../../../look/trim-shapes.ts';
import { stopNote } from '../Keys.tsx';
import { ohmPlaces } from './approach.ts';
import { type NeedleWords, needleWords } from './needle-words.ts';
import { needleFacts, pressNeedle } from './press-needle.ts';
import { closeNeedle } from './trim-actions.ts';
import { handStore, isMutedStore } from './trim-state.ts';

interface NeedleProps {
  readonly needle: NeedleReading;
  readonly piece: TrimPiece;
}

/** Follows what the words depend on. */
function useWords({ needle, piece }: NeedleProps): NeedleWords {
  useStore(snapshotStore);
  useStore(handStore);
  return needleWords(needleFacts(needle, piece));
}

/** The needle's word and sentence, mute, and the keys. */
export function NeedleKnown({ needle, piece }: NeedleProps): ReactElement {
  const { word, sentence, main } = useWords({ needle, piece });
  const isMuted = useStore(isMutedStore);
  return (
    <section className="known needle-known" data-state={`needle-${needle.state}`} aria-label="What is known">
      <div className="headline">
        <ShapeFigure shape={approachShape} className="state-shape" />
        <p className={word.length > 5 ? 'word long' : 'word'} aria-live="assertive">
          {word}
        </p>
      </div>
      <div className="next" aria-live="polite">
        <p className="lead">{sentenceText(sentence)}</p>
      </div>
      <p className="soft">
        The stop line lies before the target by what a hand cuts on while it reacts; it moves with the rate. The order
        in which cells are cut does not matter.
      </p>
      <div className="keys">
        <button type="button" className="key" aria-pressed={isMuted} onClick={() => isMutedStore.set((now) => !now)}>
          <span>{isMuted ? 'Tone is off' : 'Tone is on'}</span>
          <span className="soft">{isMuted ? 'press to hear it' : 'press to mute'}</span>
        </button>
        <button
          type="button"
          className="key main next"
          disabled={main === null}
          onClick={() => pressNeedle(needle, piece)}
        >
          <span>{main?.label ?? 'Wait'}</span>
          <span className="cap">Enter</span>
        </button>
        {needle.state !== 'ended' && (
          <button type="button" className="key main stop" onClick={() => void attempt(closeNeedle)}>
            <span>Close the needle</span>
            <span className="cap">Escape</span>
          </button>
        )}
        <p className="caution">{stopNote}</p>
      </div>
    </section>
  );
}

/** Over everything else of the screen: a word, a shape and the screen turned inside out. */
export function NeedleStop({ needle, piece }: NeedleProps): ReactElement {
  const places = ohmPlaces(needle.targetOhm);
  const { word, sentence, main } = useWords({ needle, piece });
  return (
    <div className="needle-stop" role="alert">
      <div className="headline">
        <ShapeFigure shape={handsOffShape} className="state-shape" />
        <p className="word">{word}</p>
      </div>
      <p className="lead">{sentence}</p>
      <p>
        Cell {numberText(needle.nowOhm, places)} Ω, target {numberText(needle.targetOhm, places)} Ω
      </p>
      <button type="button" className="key main" onClick={() => pressNeedle(needle, piece)}>
        <span>{main?.label}</span>
        <span className="cap">Enter</span>
      </button>
      <p className="caution">{stopNote}</p>
    </div>
  );
}
