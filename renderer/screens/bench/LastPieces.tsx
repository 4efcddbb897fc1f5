import type { ReactElement } from 'react';
import type { RunSummary } from '../../../src/archive/records.ts';
import { attempt, lastPiecesStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { signedText } from '../../format/numbers.ts';
import { SerialText } from './SerialText.tsx';
import { lookUp, shownRunStore } from './shown-run.ts';
import { VerdictFigure } from './VerdictFigure.tsx';

function Piece({ run, isShown }: { readonly run: RunSummary; readonly isShown: boolean }): ReactElement {
  return (
    <li>
      <button type="button" aria-pressed={isShown} onClick={() => void attempt(() => lookUp(run))}>
        <VerdictFigure word={run.verdict} />
        <span className="unseen">{run.verdict}</span>
        <span>
          <SerialText serial={run.serial} />
          {run.isVirtual && <small>virtual</small>}
        </span>
        <span className="deviation">{signedText(run.worstDeviationDb, 2)}</span>
      </button>
    </li>
  );
}

/** The last pieces, newest first, with verdict and worst deviation in dB; press one to see its curve. */
export function LastPieces(): ReactElement {
  const pieces = useStore(lastPiecesStore);
  const shown = useStore(shownRunStore);
  return (
    <>
      <h2 className="engraved last-title">
        <span>Last pieces</span>
        <span>{pieces.length > 0 ? 'worst, dB' : ''}</span>
      </h2>
      {pieces.length === 0 ? (
        <p className="soft nothing-yet">
          Nothing is measured yet. Every piece will stand here with its verdict and its worst deviation.
        </p>
      ) : (
        <ol>
          {pieces.map((run) => (
            <Piece key={run.runId} run={run} isShown={shown?.summary.runId === run.runId} />
          ))}
        </ol>
      )}
    </>
  );
}
