import type { ReactElement } from 'react';
import type { RunView } from '../../../src/contract/state.ts';
import { durationText } from '../../format/dates.ts';
import { rulerMarks, rulerPlace } from './ruler.ts';

const mostMarks = 60;

/** Progress as a ruler with the index mark on it, and the time left. */
export function ProgressRuler({ run }: { readonly run: RunView }): ReactElement {
  const share = rulerPlace(run.fraction);
  return (
    <div className="progress">
      <div
        className="ruler"
        role="progressbar"
        aria-label="Progress of the run"
        aria-valuemin={0}
        aria-valuemax={100}
        aria-valuenow={Math.round(share * 100)}
        aria-valuetext={`step ${run.stepIndex} of ${run.stepCount}, ${durationText(run.timeLeftMs)} left`}
      >
        <svg className="marks" viewBox="0 0 1000 20" preserveAspectRatio="none" aria-hidden="true">
          {rulerMarks(run.stepCount, mostMarks).map((mark) => (
            <line
              key={mark.share}
              x1={mark.share * 1000}
              x2={mark.share * 1000}
              y1={mark.isLong ? 2 : 10}
              y2={20}
              className={mark.isLong ? 'long' : ''}
            />
          ))}
        </svg>
        <span className="index" style={{ left: `${share * 100}%` }} />
      </div>
      <p className="numbers">
        <span className="soft">
          Step {run.stepIndex} of {run.stepCount}
        </span>
        <strong>{durationText(run.timeLeftMs)} left</strong>
      </p>
    </div>
  );
}
