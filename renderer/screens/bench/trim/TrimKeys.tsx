import { type ReactElement, useState } from 'react';
import { attempt } from '../../../bridge/station.ts';
import { useStore } from '../../../bridge/store.ts';
import { stopNote } from '../Keys.tsx';
import type { BenchView } from '../use-bench.ts';
import { pressTrim } from './press-trim.ts';
import { busyStore, doTrim, giveUp, openNeedle } from './trim-actions.ts';
import { cutsLeft, isOpen } from './trim-stage.ts';
import { cutsViewStore } from './trim-state.ts';
import type { TrimBench } from './use-trim.ts';

interface TrimKeysProps {
  readonly bench: BenchView;
  readonly trim: TrimBench;
}

/** The violet key that goes on, and beside the cuts what else can be done with them. */
export function TrimKeys({ bench, trim }: TrimKeysProps): ReactElement {
  const isBusy = useStore(busyStore);
  const { piece, stage, view, headline, settleLeftS } = trim;
  const [cut] = cutsLeft(piece);
  const label = settleLeftS > 0 && headline.kind === 'settling' ? `Measure again in ${settleLeftS} s` : null;
  const main = headline.main;
  return (
    <div className="keys">
      {stage === 'cutting' && (
        <div className="pair">
          <button type="button" className="key" onClick={() => cutsViewStore.set(view === 'one' ? 'all' : 'one')}>
            {view === 'one' ? 'All cuts' : 'One cut'}
          </button>
          <button
            type="button"
            className="key"
            disabled={isBusy || cut === undefined}
            onClick={() => cut !== undefined && void attempt(() => openNeedle(piece, cut.cellIndex))}
          >
            Live needle
          </button>
          <button
            type="button"
            className="key"
            disabled={isBusy}
            onClick={() => void attempt(() => doTrim('measure', piece))}
          >
            Measure
          </button>
        </div>
      )}
      {(stage === 'trimmable' || stage === 'unmeasured' || stage === 'unsorted') && isOpen(stage) && (
        <GiveUp onSure={() => void attempt(() => giveUp(piece))} />
      )}
      <button
        type="button"
        className="key main next"
        disabled={main === null || isBusy}
        onClick={() => pressTrim(bench, trim)}
      >
        <span>{label ?? main?.label ?? 'Wait'}</span>
        <span className="cap">Enter</span>
      </button>
      {(stage === 'unmeasured' || stage === 'unsorted') && <p className="caution">{stopNote}</p>}
    </div>
  );
}

/** Asked twice: what is given up is not taken up again. */
function GiveUp({ onSure }: { readonly onSure: () => void }): ReactElement {
  const [isAsked, setIsAsked] = useState(false);
  if (!isAsked) {
    return (
      <button type="button" className="key" onClick={() => setIsAsked(true)}>
        Give this piece up
      </button>
    );
  }
  return (
    <div className="pair">
      <button type="button" className="key" onClick={onSure}>
        Give up, for good
      </button>
      <button type="button" className="key" onClick={() => setIsAsked(false)}>
        Keep it
      </button>
    </div>
  );
}
