import { type KeyboardEvent, type ReactElement, useState } from 'react';
import { useStore } from '../../bridge/store.ts';
import type { CheckedDraft } from './draft.ts';
import { changed, redone, undone } from './draft-history.ts';
import { keepDraft } from './law-actions.ts';
import { editing } from './laws-state.ts';
import { MarksEditor } from './MarksEditor.tsx';
import { PointsEditor } from './PointsEditor.tsx';
import type { ChangeDraft, PartProps } from './part-props.ts';
import { WholeEditor } from './WholeEditor.tsx';

const parts = ['Points', 'Marks', 'Whole'] as const;
type Part = (typeof parts)[number];

/** `Points and Whole`: the parts in which something is wrong. */
function partsWith(problems: CheckedDraft['problems']): string {
  const partOf = (place: string | number | undefined): Part =>
    place === 'points' ? 'Points' : place === 'marks' ? 'Marks' : 'Whole';
  const wrong = new Set(problems.map((problem) => partOf(problem.path[0])));
  return parts.filter((part) => wrong.has(part)).join(' and ');
}

interface EditPanelProps {
  readonly checked: CheckedDraft;
  /** True when nothing differs from the revision the draft began from. */
  readonly isUnchanged: boolean;
}

/** The next revision, written in place. Every change is checked by the law's own rules and can be taken back. */
export function EditPanel({ checked, isUnchanged }: EditPanelProps): ReactElement | null {
  const now = useStore(editing);
  const [part, setPart] = useState<Part>('Points');
  const [isLeaving, setLeaving] = useState(false);
  if (now === null) return null;
  const { history } = now;
  const set = (next: typeof history): void => editing.set({ ...now, history: next });
  const change: ChangeDraft = (next, typing = null) => set(changed(history, next, typing));
  const onKeyDown = (event: KeyboardEvent): void => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z') return;
    event.preventDefault();
    set(event.shiftKey ? redone(history) : undone(history));
  };
  const props: PartProps = { draft: history.now, checked, change };
  const count = checked.problems.length;
  const putAway = (): void => {
    if (history.past.length > 0 && !isLeaving) setLeaving(true);
    else editing.set(null);
  };
  return (
    <section className="law-panel" aria-label="Draft" onKeyDown={onKeyDown}>
      <p className="soft law-origin">Draft {now.origin}</p>
      <div className="edit-head">
        <div role="tablist" aria-label="Parts of the law">
          {parts.map((name) => (
            <button key={name} type="button" role="tab" aria-selected={name === part} onClick={() => setPart(name)}>
              {name}
            </button>
          ))}
        </div>
        <button
          type="button"
          className="key"
          title="Take the last change back (Ctrl+Z)"
          disabled={history.past.length === 0}
          onClick={() => set(undone(history))}
        >
          Undo
        </button>
        <button
          type="button"
          className="key"
          title="Ctrl+Shift+Z"
          disabled={history.future.length === 0}
          onClick={() => set(redone(history))}
        >
          Redo
        </button>
      </div>
      {part === 'Points' ? (
        <PointsEditor {...props} />
      ) : part === 'Marks' ? (
        <MarksEditor {...props} />
      ) : (
        <WholeEditor {...props} />
      )}
      <p className="law-state" aria-live="polite">
        {count > 0
          ? `${count} ${count === 1 ? 'problem' : 'problems'}, shown in ${partsWith(checked.problems)}. The chart shows the last sound draft.`
          : isUnchanged
            ? 'Nothing differs from the kept revision yet.'
            : 'Sound. The chart shows the draft, the kept revision dashed.'}
      </p>
      <div className="edit-foot">
        <button type="button" className="key main" onClick={putAway} onBlur={() => setLeaving(false)}>
          {isLeaving ? 'Lose changes' : 'Put away'}
        </button>
        <button
          type="button"
          className="key main next"
          disabled={checked.law === null || isUnchanged}
          onClick={() => void keepDraft()}
        >
          Keep as revision {history.now.revision}
        </button>
      </div>
    </section>
  );
}
