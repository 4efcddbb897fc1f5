import { type ReactElement, useEffect, useMemo, useRef } from 'react';
import type { Law } from '../../../src/law/build.ts';
import { useStore } from '../../bridge/store.ts';
import { checkDraft } from './draft.ts';
import { EditPanel } from './EditPanel.tsx';
import { LawChart } from './LawChart.tsx';
import { LawHead } from './LawHead.tsx';
import { LawList } from './LawList.tsx';
import { LawPanel } from './LawPanel.tsx';
import { families, findKept, isSameLaw, type KeptLaw, lawLibrary, readLaws } from './law-library.ts';
import './laws.css';
import { chosenLaw, editing, laidRevision, lawNote, refusedFile } from './laws-state.ts';
import { NoLaws } from './NoLaws.tsx';
import { RefusedPanel } from './RefusedPanel.tsx';

/** The law library: what each fader should do, in every revision it ever had. */
export function LawsScreen(): ReactElement {
  const kept = useStore(lawLibrary);
  useEffect(() => void readLaws(), []);
  useEffect(() => {
    const newest = families(kept ?? [])[0]?.revisions[0]?.data;
    if (newest !== undefined && findKept(kept, chosenLaw.get()) === null)
      chosenLaw.set({ id: newest.id, revision: newest.revision });
  }, [kept]);
  return (
    <div className="laws">
      <LawList kept={kept ?? []} />
      <Opened kept={kept} />
    </div>
  );
}

function Opened({ kept }: { readonly kept: readonly KeptLaw[] | null }): ReactElement {
  const chosen = findKept(kept, useStore(chosenLaw))?.data ?? null;
  const now = useStore(editing);
  const refused = useStore(refusedFile);
  const laid = useStore(laidRevision);
  const note = useStore(lawNote);
  const draft = now?.history.now ?? null;
  const checked = useMemo(() => (draft === null ? null : checkDraft(draft)), [draft]);
  // While a draft has problems the chart stays with its last sound state.
  const lastSound = useRef<Law | null>(null);
  if (checked === null) lastSound.current = null;
  else if (checked.law !== null) lastSound.current = checked.law;

  const base = findKept(kept, now?.base ?? null)?.data ?? null;
  const law = checked === null ? chosen : (lastSound.current ?? base);
  const second =
    checked === null ? findKept(kept, chosen && laid ? { id: chosen.id, revision: laid } : null)?.data : base;
  if (law === null) {
    if (refused !== null) return <RefusedPanel refused={refused} />;
    return <NoLaws isRead={kept !== null} />;
  }
  const others = (kept ?? []).filter((entry) => entry.data.id === law.id && entry.data.revision !== law.revision);
  const isUnchanged = base !== null && checked?.law != null && isSameLaw(checked.law, base);
  return (
    <>
      <section className="law-picture" aria-label="Chart">
        <LawHead law={law} draftRevision={draft?.revision ?? null} others={now === null ? others : []} />
        <LawChart law={law} second={second ?? null} />
        {note !== null && (
          <p className="law-note" role="status">
            {note}
          </p>
        )}
      </section>
      {checked !== null ? (
        <EditPanel checked={checked} isUnchanged={isUnchanged} />
      ) : refused !== null ? (
        <RefusedPanel refused={refused} />
      ) : (
        <LawPanel law={law} second={second ?? null} />
      )}
    </>
  );
}
