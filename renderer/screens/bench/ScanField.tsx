import { type ReactElement, useEffect, useRef } from 'react';
import { useStore } from '../../bridge/store.ts';
import { wishForScanField } from './actions.ts';
import { nextPieceStore, typed } from './job-slip.ts';

const notes = {
  empty: '',
  offered: 'The virtual rig holds this one',
  typed: 'Enter takes it',
  taken: 'Taken',
  early: 'Taken, waits for its turn',
} as const;

/** Where a scan lands, wherever the focus was; typing works as well. */
export function ScanField({ isMeasuring }: { readonly isMeasuring: boolean }): ReactElement {
  const next = useStore(nextPieceStore);
  const wish = useStore(wishForScanField);
  const field = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (wish > 0) field.current?.focus();
  }, [wish]);
  return (
    <label className="scan-field">
      <span className="engraved">{isMeasuring ? 'Next piece, scan or type' : 'Serial, scan or type'}</span>
      <input
        ref={field}
        type="text"
        value={next.text}
        placeholder="waits for a scan"
        autoComplete="off"
        spellCheck={false}
        maxLength={60}
        onChange={(event) => nextPieceStore.set(typed(event.currentTarget.value))}
      />
      <span className="note" aria-live="polite">
        {notes[next.state]}
      </span>
    </label>
  );
}
