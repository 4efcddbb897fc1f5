import { type KeyboardEvent, type ReactElement, useState } from 'react';
import type { RunRecord, RunSummary } from '../../../src/archive/records.ts';
import type { LawData } from '../../../src/law/law.ts';
import { useStore } from '../../bridge/store.ts';
import { DeviationTab } from './DeviationTab.tsx';
import { EndsTab } from './EndsTab.tsx';
import { ExportPanel } from './ExportPanel.tsx';
import { openTab, recordTabs, type RecordTab as Tab } from './faders-state.ts';
import { Serial, VerdictMark } from './marks.tsx';
import { RawTab, ReadingsTab } from './ReadingsTabs.tsx';
import { RecordTab } from './RecordTab.tsx';
import { RunChips } from './RunChips.tsx';
import { WhyTab } from './WhyTab.tsx';

interface RecordViewProps {
  readonly run: RunRecord;
  /** Null while the law is read. */
  readonly law: LawData | null;
  /** All runs of this serial, newest first. */
  readonly attempts: readonly RunSummary[];
}

/** One run in full. */
export function RecordView({ run, law, attempts }: RecordViewProps): ReactElement {
  const tab = useStore(openTab);
  const [isExporting, setExporting] = useState(false);
  const step = (event: KeyboardEvent, by: number): void => {
    const next = recordTabs[(recordTabs.indexOf(tab) + by + recordTabs.length) % recordTabs.length];
    if (next === undefined) return;
    openTab.set(next);
    event.preventDefault();
    document.getElementById(`tab-${next}`)?.focus();
  };
  return (
    <>
      <header className="record-head">
        <span className="value">
          <Serial serial={run.serial} />
        </span>
        <VerdictMark verdict={run.verdict} />
        {run.rig?.isVirtual === true && (
          <strong className="tape">
            <span>Virtual rig</span>
          </strong>
        )}
        <RunChips attempts={attempts} openRunId={run.runId} />
      </header>
      <div className="record-tabs">
        <div
          role="tablist"
          aria-label="Parts of the record"
          onKeyDown={(event) => {
            if (event.key === 'ArrowRight') step(event, 1);
            if (event.key === 'ArrowLeft') step(event, -1);
          }}
        >
          {recordTabs.map((name) => (
            <button
              key={name}
              id={`tab-${name}`}
              type="button"
              role="tab"
              aria-selected={name === tab}
              aria-controls="record-part"
              tabIndex={name === tab ? 0 : -1}
              onClick={() => openTab.set(name)}
            >
              {name}
            </button>
          ))}
        </div>
        <button type="button" className="key" onClick={() => setExporting(true)}>
          Write this run
        </button>
      </div>
      <div id="record-part" className="record-part" role="tabpanel" aria-labelledby={`tab-${tab}`}>
        <Part tab={tab} run={run} law={law} />
      </div>
      {isExporting && (
        <ExportPanel scope={{ kind: 'run', run }} batch={run.batch} onClose={() => setExporting(false)} />
      )}
    </>
  );
}

function Part({ tab, run, law }: Omit<RecordViewProps, 'attempts'> & { readonly tab: Tab }): ReactElement {
  if (tab === 'Why') return <WhyTab run={run} law={law} />;
  if (tab === 'Readings') return <ReadingsTab run={run} />;
  if (tab === 'Raw') return <RawTab run={run} />;
  if (tab === 'Ends') return <EndsTab run={run} law={law} />;
  if (tab === 'Record') return <RecordTab run={run} law={law} />;
  return <DeviationTab run={run} law={law} />;
}
