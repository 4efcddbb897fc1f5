import type { ReactElement } from 'react';
import { useStore } from '../../../bridge/store.ts';
import { type PaneId, paneStore } from './trim-state.ts';

const panes: readonly { readonly id: PaneId; readonly name: string }[] = [
  { id: 'track', name: 'Track' },
  { id: 'batch', name: 'Batch' },
];

/** Between this piece and its batch. */
export function PaneChoice(): ReactElement {
  const pane = useStore(paneStore);
  return (
    <fieldset className="pane-choice">
      <legend className="unseen">Shown beside the slip</legend>
      {panes.map(({ id, name }) => (
        <label key={id}>
          <input type="radio" name="trim-pane" checked={pane === id} onChange={() => paneStore.set(id)} />
          <span>{name}</span>
        </label>
      ))}
    </fieldset>
  );
}
