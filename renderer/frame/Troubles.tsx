import './troubles.css';
import { type ReactElement, useState } from 'react';
import { callShell } from '../bridge/calls.ts';
import { putAway, type Trouble, troublesStore } from '../bridge/station.ts';
import { useStore } from '../bridge/store.ts';

/** What went wrong, to what, and what to do; stays until put away, and can be copied whole. */
export function Troubles(): ReactElement | null {
  const troubles = useStore(troublesStore);
  if (troubles.length === 0) return null;
  return (
    <div className="troubles" role="alert">
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
      <p>{error.message}</p>
      {error.details.length > 0 && (
        <ul>
          {error.details.slice(0, 12).map((detail) => (
            <li key={detail}>{detail}</li>
          ))}
          {error.details.length > 12 && <li>and {error.details.length - 12} more; copy to see all</li>}
        </ul>
      )}
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
