import type { ReactElement } from 'react';
import { sentenceText } from '../../format/numbers.ts';
import { ShapeFigure } from '../../look/ShapeFigure.tsx';
import { Keys } from './Keys.tsx';
import { KnownRows } from './KnownRows.tsx';
import { ProgressRuler } from './ProgressRuler.tsx';
import { stateShapes } from './state-shapes.ts';
import type { BenchView } from './use-bench.ts';
import { VirtualTape } from './VirtualTape.tsx';

const longWord = 5;

/** What is known, in one word and its shape; what to do next, in one sentence; the numbers; the keys. */
export function Known(view: BenchView): ReactElement {
  const { kind, word, sentence, reason } = view.headline;
  return (
    <section className="known" data-state={kind} aria-label="What is known">
      <div className="headline">
        <ShapeFigure shape={stateShapes[kind]} className="state-shape" />
        <p className={word.length > longWord ? 'word long' : 'word'} aria-live="assertive">
          {word}
        </p>
      </div>
      <div className="next" aria-live="polite">
        <p className="lead">{sentence}</p>
        {reason !== null && <p className="soft reason">{sentenceText(reason)}</p>}
      </div>
      <KnownRows {...view} />
      {view.shown?.summary.isVirtual === true && <VirtualTape />}
      {view.run !== null && <ProgressRuler run={view.run} />}
      <Keys {...view} />
    </section>
  );
}
