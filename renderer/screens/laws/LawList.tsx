import type { ReactElement } from 'react';
import { useStore } from '../../bridge/store.ts';
import { choose, importFile } from './law-actions.ts';
import { families, type KeptLaw } from './law-library.ts';
import { chosenLaw, editing } from './laws-state.ts';

/** Every law with every revision. While a draft is open the list waits: a draft is kept or put away first. */
export function LawList({ kept }: { readonly kept: readonly KeptLaw[] }): ReactElement {
  const chosen = useStore(chosenLaw);
  const isEditing = useStore(editing) !== null;
  return (
    <section className="law-list" aria-label="Laws">
      <nav aria-label="Laws and revisions">
        {families(kept).map((family) => (
          <div key={family.id}>
            <h2 className="engraved">{family.id}</h2>
            <ul>
              {family.revisions.map(({ data, runs }) => {
                const isChosen = chosen?.id === data.id && chosen.revision === data.revision;
                return (
                  <li key={data.revision}>
                    <button
                      type="button"
                      aria-current={isChosen ? 'true' : undefined}
                      disabled={isEditing && !isChosen}
                      onClick={() => choose({ id: data.id, revision: data.revision })}
                    >
                      <b>Revision {data.revision}</b>
                      <small>{runs === 0 ? 'not used' : `${runs} ${runs === 1 ? 'run' : 'runs'}`}</small>
                    </button>
                  </li>
                );
              })}
            </ul>
          </div>
        ))}
      </nav>
      <button type="button" className="key main" disabled={isEditing} onClick={() => void importFile()}>
        Take in a file
      </button>
    </section>
  );
}
