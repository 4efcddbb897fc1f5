import type { ReactElement } from 'react';
import type { RunSummary } from '../../../src/archive/records.ts';
import { dateText } from '../../format/dates.ts';
import { signedText } from '../../format/numbers.ts';
import { toggleLaidOver } from './lay-over.ts';
import { Serial, VerdictShape } from './marks.tsx';

interface FoundRowProps {
  /** Null while its page is being read. */
  readonly run: RunSummary | null;
  readonly openId: string | null;
  readonly laid: ReadonlySet<string>;
  readonly onOpen: () => void;
}

/** The list takes the keys for all its rows, so a row is no stop of its own. */
export function FoundRow({ run, openId, laid, onOpen }: FoundRowProps): ReactElement {
  if (run === null) return <p className="found-row soft">Reading</p>;
  const isLaid = laid.has(run.runId);
  return (
    <>
      <button
        type="button"
        className="found-row"
        aria-current={run.runId === openId ? 'true' : undefined}
        tabIndex={-1}
        onClick={onOpen}
      >
        <VerdictShape verdict={run.verdict} />
        <span>
          <Serial serial={run.serial} />
          <small>
            <span>
              {dateText(run.startedAt)}
              {run.isVirtual && ' virtual'}
            </span>
            <span>{signedText(run.worstDeviationDb, 2)} dB</span>
          </small>
        </span>
      </button>
      <button
        type="button"
        className="lay-key"
        tabIndex={-1}
        aria-pressed={isLaid}
        aria-label={`Lay ${run.serial} over`}
        title="Lay this curve over the opened one"
        onClick={() => toggleLaidOver(run)}
      >
        <svg viewBox="0 0 24 16" aria-hidden="true">
          <path d="M1 11C6 3 9 14 14 8S21 5 23 6" fill="none" stroke="currentColor" strokeWidth={isLaid ? 3 : 1.25} />
        </svg>
      </button>
    </>
  );
}
