import type { ReactElement } from 'react';
import { attempt } from '../../bridge/station.ts';
import { pauseOrResume, press, stopRun } from './actions.ts';
import type { BenchView } from './use-bench.ts';

export const stopNote = 'This stop is software. The emergency stop is the switch on the rig that cuts motor power.';

/** The violet key that goes on, and during a run pause and stop. Stop keeps its place whatever happens. */
export function Keys({ headline: { main }, run }: BenchView): ReactElement {
  if (run === null) {
    return (
      <div className="keys">
        <button
          type="button"
          className="key main next"
          disabled={main === null}
          onClick={() => main !== null && press(main.act)}
        >
          <span>{main?.label ?? 'Measure'}</span>
          <span className="cap">Enter</span>
        </button>
      </div>
    );
  }
  const isPaused = run.state === 'paused' || run.state === 'pausing';
  return (
    <div className="keys">
      <button
        type="button"
        className={isPaused ? 'key next' : 'key'}
        disabled={run.state === 'stopping'}
        onClick={() => void attempt(pauseOrResume)}
      >
        <span>{isPaused ? 'Go on' : 'Pause'}</span>
        {isPaused && <span className="cap">Enter</span>}
      </button>
      <button
        type="button"
        className="key main stop"
        disabled={run.state === 'stopping'}
        onClick={() => void attempt(stopRun)}
      >
        <span>Stop</span>
        <span className="cap">Escape</span>
      </button>
      <p className="caution">{stopNote}</p>
    </div>
  );
}
