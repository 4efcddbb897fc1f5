import { type ReactElement, useState } from 'react';
import { callShell } from '../bridge/calls.ts';
import { attempt, lifeStore } from '../bridge/station.ts';
import { useStore } from '../bridge/store.ts';
import { openContactShape, unknownContactShape } from '../look/bench-shapes.ts';
import { ShapeFigure } from '../look/ShapeFigure.tsx';

const words = { starting: 'Starting', running: 'Starting', restarting: 'Restarting', gone: 'No core' } as const;
const endedByItself =
  'The measuring process ended and does not come back by itself. Start it again; recorded results are on disk.';

/** What stands in a screen's place while the measuring process is not there to fill it. */
export function CoreLifeNote(): ReactElement {
  const { state, reason } = useStore(lifeStore);
  const [isCopied, setCopied] = useState(false);
  const isGone = state === 'gone';
  const copy = async (): Promise<void> => {
    if ((await attempt(() => callShell('clipboard.copy', { text: reason ?? endedByItself }))) !== null) setCopied(true);
  };
  return (
    <section className="core-life" aria-live="polite">
      <div className="headline">
        <ShapeFigure shape={isGone ? openContactShape : unknownContactShape} className="state-shape" />
        <p className="word long">{words[state]}</p>
      </div>
      {isGone ? (
        <>
          <p className="lead reason">{reason ?? endedByItself}</p>
          <p className="soft">
            Nothing can be measured until then. Put it right, then start the measuring process again.
          </p>
        </>
      ) : (
        <>
          <p className="lead">The measuring process is opening the archive. Wait.</p>
          {reason !== null && <p className="soft reason">{reason}</p>}
        </>
      )}
      {isGone && (
        <div className="keys">
          <button
            type="button"
            className="key main next"
            onClick={() => void attempt(() => callShell('core.restart', {}))}
          >
            Start it again
          </button>
          <button type="button" className="key" onClick={() => void copy()}>
            {isCopied ? 'Copied' : 'Copy'}
          </button>
          <button type="button" className="key" onClick={() => void attempt(() => callShell('logs.show', {}))}>
            Show log files
          </button>
        </div>
      )}
    </section>
  );
}
