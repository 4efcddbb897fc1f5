import { type ReactElement, useEffect, useState } from 'react';
import { callCore, callShell, onCoreEvent } from '../../bridge/calls.ts';
import { attempt, snapshotStore } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { dateText } from '../../format/dates.ts';
import { rulerPlace } from '../bench/ruler.ts';
import { sizeText } from './sizes.ts';

interface Backup {
  readonly path: string;
  readonly runs: number;
  readonly bytes: number;
}

/** Where the results are kept, and a copy of them on request. */
export function DatabaseTopic(): ReactElement {
  const place = useStore(snapshotStore)?.archivePath ?? null;
  const [fraction, setFraction] = useState<number | null>(null);
  const [made, setMade] = useState<Backup | null>(null);
  const isBusy = fraction !== null;

  useEffect(
    () =>
      onCoreEvent((event) => {
        if (event.kind === 'transfer') setFraction((now) => (now === null ? null : event.fraction));
      }),
    [],
  );

  const backUp = async (): Promise<void> => {
    const chosen = await callShell('file.choosePath', {
      title: 'Write a backup of the database',
      suggestedName: `faderwright-${dateText(new Date().toISOString())}.sqlite`,
      filters: [{ name: 'SQLite database', extensions: ['sqlite'] }],
    });
    if (chosen === null) return;
    setMade(null);
    setFraction(0);
    try {
      setMade({ path: chosen.path, ...(await callCore('archive.backup', chosen)) });
    } finally {
      setFraction(null);
    }
  };

  return (
    <>
      <p className="soft">
        One SQLite file holds every run, reading, law and calibration. Nothing in it is ever changed or removed; a
        result is on disk before the screen says so.
      </p>
      <dl className="facts">
        <dt>Place</dt>
        <dd className="path">{place ?? '–'}</dd>
      </dl>
      <div className="pair">
        <button
          type="button"
          className="key"
          disabled={place === null}
          onClick={() => void attempt(() => callShell('file.show', { path: place ?? '' }))}
        >
          Show the file
        </button>
        <button type="button" className="key next" disabled={isBusy} onClick={() => void attempt(backUp)}>
          {isBusy ? 'Writing the backup' : 'Write a backup'}
        </button>
      </div>
      {isBusy && (
        <div
          className="ruler plain"
          role="progressbar"
          aria-label="Backup"
          aria-valuemin={0}
          aria-valuemax={100}
          aria-valuenow={Math.round(rulerPlace(fraction) * 100)}
        >
          <span className="index" style={{ left: `${rulerPlace(fraction) * 100}%` }} />
        </div>
      )}
      <p aria-live="polite">
        {made !== null && (
          <>
            Backup written: {made.runs} runs, {sizeText(made.bytes)}, checked, in{' '}
            <span className="path">{made.path}</span>
          </>
        )}
      </p>
      <p className="soft">Keep backups on another disk. A backup opens like the database itself.</p>
    </>
  );
}
