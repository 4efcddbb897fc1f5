import type { ReactElement } from 'react';
import { sentenceText } from '../../../format/numbers.ts';
import { ShapeFigure } from '../../../look/ShapeFigure.tsx';
import { KnownRows } from '../KnownRows.tsx';
import type { BenchView } from '../use-bench.ts';
import { VirtualTape } from '../VirtualTape.tsx';
import { CutCard } from './CutCard.tsx';
import { CutList } from './CutList.tsx';
import { PlanRows } from './PlanRows.tsx';
import { TrimKeys } from './TrimKeys.tsx';
import { trimShapes } from './trim-shapes-of.ts';
import { cutsLeft } from './trim-stage.ts';
import type { TrimBench } from './use-trim.ts';

interface TrimKnownProps {
  readonly bench: BenchView;
  readonly trim: TrimBench;
}

/** What is known of the piece being trimmed, what to do next, the cut or the plan, and the keys. */
export function TrimKnown({ bench, trim }: TrimKnownProps): ReactElement {
  const { kind, word, sentence, reasons } = trim.headline;
  return (
    <section className="known trim-known" data-state={kind} aria-label="What is known">
      <div className="headline">
        <ShapeFigure shape={trimShapes[kind]} className="state-shape" />
        <p className={wordClass(word)} aria-live="assertive">
          {word}
        </p>
      </div>
      <div className="next" aria-live="polite">
        <p className="lead">{sentence}</p>
        {reasons.slice(0, shownReasons).map((reason) => (
          <p key={reason} className="soft reason">
            {sentenceText(reason)}
          </p>
        ))}
        {reasons.length > shownReasons && (
          <p className="soft reason">and {reasons.length - shownReasons} more, all kept with the piece</p>
        )}
      </div>
      <Middle bench={bench} trim={trim} />
      <TrimKeys bench={bench} trim={trim} />
    </section>
  );
}

const shownReasons = 3;

const wordClass = (word: string): string => {
  if (word.length > 9) return 'word long longest';
  return word.length > 5 ? 'word long' : 'word';
};

function Middle({ bench, trim }: TrimKnownProps): ReactElement | null {
  const { piece, stage, view, cuts, law } = trim;
  if (stage === 'cutting' && piece.rules !== null && law !== null) {
    const [cut] = cutsLeft(piece);
    if (view === 'all' || cut === undefined) return <CutList cuts={cutsLeft(piece)} />;
    return <CutCard cut={cut} cuts={cuts} rules={piece.rules} travelMm={law.travelMm} />;
  }
  if (stage === 'trimmable') return <PlanRows piece={piece} law={law} />;
  // What was measured before the cuts says nothing of the track as it is now.
  if (stage === 'unmeasured' || stage === 'sorting') return null;
  return (
    <>
      <KnownRows {...bench} />
      {bench.shown?.summary.isVirtual === true && <VirtualTape />}
    </>
  );
}
