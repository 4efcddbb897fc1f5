import { type ReactElement, useDeferredValue, useMemo, useState } from 'react';
import { callCore } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { useStore } from '../../bridge/store.ts';
import { ExportPanel } from './ExportPanel.tsx';
import { FindForm } from './FindForm.tsx';
import { FoundList } from './FoundList.tsx';
import './faders.css';
import { findForm, openRunId, openTab } from './faders-state.ts';
import { emptyForm, isUnfiltered, queryOf } from './find-form.ts';
import { useFound } from './found.ts';
import { useLawOf } from './law-of-run.ts';
import { laidOver, layOver, mostLaidOver, nothingLaidOver } from './lay-over.ts';
import { NothingOpen } from './NothingOpen.tsx';
import { RecordView } from './RecordView.tsx';
import { useRecord } from './use-record.ts';

/** Every fader ever measured: find it, open it, lay others over it, write it out. */
export function FadersScreen(): ReactElement {
  const form = useStore(findForm);
  const { query, problem } = useMemo(() => queryOf(form), [form]);
  const found = useFound(useDeferredValue(query));
  const laid = useStore(laidOver);
  const record = useRecord(useStore(openRunId));
  const law = useLawOf(record?.run ?? null);
  const [isExporting, setExporting] = useState(false);
  const total = found.total ?? 0;

  const layAllOver = async (): Promise<void> => {
    const answer = await attempt(() => callCore('runs.find', { ...query, limit: mostLaidOver }));
    if (answer === null) return;
    // The curves are seen on this page only.
    openTab.set('Deviation');
    await layOver(answer.runs);
  };
  return (
    <div className="faders">
      <section className="finder" aria-label="Find">
        <FindForm problem={problem} />
        <p className="found-count engraved" aria-live="polite">
          {found.total === null ? 'Looking' : `${total} ${total === 1 ? 'run' : 'runs'} found`}
          {total > 0 && <span>worst point</span>}
        </p>
        {found.total === 0 ? (
          <div className="nothing-found">
            {isUnfiltered(form) ? (
              <p className="soft">
                Nothing is recorded yet. Every run that ends is kept here under the fader’s serial.
              </p>
            ) : (
              <>
                <p className="soft">No run fits. Take away a condition, or part of the serial.</p>
                <button type="button" className="key" onClick={() => findForm.set(emptyForm)}>
                  Show all
                </button>
              </>
            )}
          </div>
        ) : (
          <FoundList found={found} />
        )}
        <div className="pair finder-keys">
          {laid.runs.length > 0 ? (
            <button type="button" className="key" onClick={() => void layOver(nothingLaidOver.runs)}>
              Take {laid.runs.length} off
            </button>
          ) : (
            <button type="button" className="key" disabled={total === 0} onClick={() => void layAllOver()}>
              Lay {total > mostLaidOver ? `${mostLaidOver} newest` : 'all'} over
            </button>
          )}
          <button type="button" className="key" disabled={total === 0} onClick={() => setExporting(true)}>
            Write out
          </button>
        </div>
      </section>
      <section className="record" aria-label="Record">
        {record === null ? (
          <NothingOpen hasRuns={total > 0 || !isUnfiltered(form)} />
        ) : (
          <RecordView {...record} law={law} />
        )}
      </section>
      {isExporting && (
        <ExportPanel
          scope={{ kind: 'found', query, total }}
          batch={query.batch ?? null}
          onClose={() => setExporting(false)}
        />
      )}
    </div>
  );
}
