import type { ReactElement } from 'react';
import type { LawData } from '../../../src/law/law.ts';
import { useStore } from '../../bridge/store.ts';
import type { KeptLaw } from './law-library.ts';
import { laidRevision } from './laws-state.ts';

interface LawHeadProps {
  readonly law: LawData;
  /** The revision a draft will become; null = the law is a kept one. */
  readonly draftRevision: number | null;
  /** Other revisions of the law that may be laid over. */
  readonly others: readonly KeptLaw[];
}

export function LawHead({ law, draftRevision, others }: LawHeadProps): ReactElement {
  const laid = useStore(laidRevision);
  return (
    <header className="law-head">
      <div>
        <h1 className="value">
          {law.id}{' '}
          <span className="soft">
            {draftRevision === null ? `revision ${law.revision}` : `draft of revision ${draftRevision}`}
          </span>
        </h1>
        <p className="soft">{law.title}</p>
      </div>
      {others.length > 0 && (
        <label className="lay-choice">
          <span className="engraved">Laid over, dashed</span>
          <select
            value={laid ?? ''}
            onChange={(event) => laidRevision.set(event.target.value === '' ? null : Number(event.target.value))}
          >
            <option value="">None</option>
            {others.map(({ data }) => (
              <option key={data.revision} value={data.revision}>
                Revision {data.revision}
              </option>
            ))}
          </select>
        </label>
      )}
    </header>
  );
}
