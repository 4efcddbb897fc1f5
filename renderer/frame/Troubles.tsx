import './troubles.css';
import { type ReactElement, useState } from 'react';
import { callShell } from '../bridge/calls.ts';
import { putAway, troublesStore } from '../bridge/station.ts';
import { useStore } from '../bridge/store.ts';
import type { Trouble } from '../bridge/troubles.ts';

interface TroublesProps {
  /** `over` lies over the screen beside its column of keys; `between` has a row of its own; `within` fills a part of the screen. */
  readonly place: 'over' | 'between' | 'within';
}

/** What went wrong, to what, and what to do; stays until put away or done with success, and can be copied whole. */
export function Troubles({ place }: TroublesProps): ReactElement | null {
  const troubles = useStore(troublesStore);
  if (troubles.length === 0) return null;
  return (
    <div className={`troubles ${place}`} role="alert">
      {troubles.map((trouble) => (
        <Notice key={trouble.id} trouble={trouble} />
      ))}
    </div>
  );
}

function Notice({ trouble: { id, error } }: { readonly trouble: Trouble }): ReactElement {
  const [copied, setCopied] = useState(false);
  const text = [error.message, ...error.details, `(${error.code})`].join('\n');
  const copy = (): void => {
    callShell('clipboard.copy', { text }).then(
      () => setCopied(true),
      () => setCopied(false),
    );
  };
  return (
    <section className="notice">
      <div>
        <p>{error.message}</p>
        {error.details.length > 0 && (
          <ul>
            {error.details.slice(0, 12).map((detail) => (
              <li key={detail}>{detail}</li>
            ))}
            {error.details.length > 12 && <li>and {error.details.length - 12} more; copy to see all</li>}
          </ul>
        )}
      </div>
      <div className="pair">
        <button type="button" className="key" onClick={copy}>
          {copied ? 'Copied' : 'Copy'}
        </button>
        <button type="button" className="key" onClick={() => putAway(id)}>
          Put away
        </button>
      </div>
    </section>
  );
}
