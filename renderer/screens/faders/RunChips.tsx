import type { ReactElement } from 'react';
import type { RunSummary } from '../../../src/archive/records.ts';
import { dateTimeText } from '../../format/dates.ts';
import { openRunId } from './faders-state.ts';
import { VerdictShape } from './marks.tsx';

interface RunChipsProps {
  /** Newest first. */
  readonly attempts: readonly RunSummary[];
  readonly openRunId: string;
}

/** Every run of the serial in the order they were made: repeated attempts are seen, none hides another. */
export function RunChips({ attempts, openRunId: open }: RunChipsProps): ReactElement {
  const inOrder = attempts.toReversed();
  const at = inOrder.findIndex((attempt) => attempt.runId === open) + 1;
  return (
    <nav className="run-chips" aria-label="Runs of this fader">
      <span className="soft">{inOrder.length < 2 ? 'Only run' : `Run ${at} of ${inOrder.length}`}</span>
      {inOrder.length > 1 && (
        <ol>
          {inOrder.map((attempt, index) => (
            <li key={attempt.runId}>
              <button
                type="button"
                aria-current={attempt.runId === open ? 'true' : undefined}
                title={dateTimeText(attempt.startedAt)}
                aria-label={`Run ${index + 1}, ${attempt.verdict}, ${dateTimeText(attempt.startedAt)}`}
                onClick={() => openRunId.set(attempt.runId)}
              >
                {index + 1} <VerdictShape verdict={attempt.verdict} />
              </button>
            </li>
          ))}
        </ol>
      )}
    </nav>
  );
}
