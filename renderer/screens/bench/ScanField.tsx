import { type ReactElement, useLayoutEffect, useRef } from 'react';
import { useStore } from '../../bridge/store.ts';
import { wishForScanField } from './actions.ts';
import { nextPieceStore, typed } from './job-slip.ts';

const notes = {
  empty: '',
  offered: 'The virtual rig holds this one',
  typed: 'Enter takes it',
  misread: 'Not a serial number',
  taken: 'Taken',
  early: 'Taken, waits for its turn',
} as const;

/** Where a scan lands, wherever the focus was; typing works as well. */
export function ScanField({ isMeasuring }: { readonly isMeasuring: boolean }): ReactElement {
  const next = useStore(nextPieceStore);
  const wish = useStore(wishForScanField);
  const field = useRef<HTMLInputElement>(null);
  // Before the browser puts the typed sign anywhere, hence not after painting; a wish from another visit is over.
  const heard = useRef(wish);
  useLayoutEffect(() => {
    if (wish > heard.current) field.current?.focus();
    heard.current = wish;
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
        onFocus={(event) => event.currentTarget.select()}
        onChange={(event) => nextPieceStore.set(typed(event.currentTarget.value))}
      />
      <span className="note" aria-live="polite">
        {notes[next.state]}
      </span>
    </label>
  );
}
