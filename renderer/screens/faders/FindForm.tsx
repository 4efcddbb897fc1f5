import type { ReactElement } from 'react';
import { verdictOrder } from '../../../src/report/words.ts';
import { useStore } from '../../bridge/store.ts';
import { findForm } from './faders-state.ts';
import type { FindForm as Form } from './find-form.ts';
import { VerdictMark } from './marks.tsx';

/** Serial or part of one, verdict, batch, day: the list follows while it is typed. */
export function FindForm({ problem }: { readonly problem: string | null }): ReactElement {
  const form = useStore(findForm);
  const change = (part: Partial<Form>): void => findForm.set((now) => ({ ...now, ...part }));
  return (
    <search className="find-form">
      <label className="find-field">
        <span className="engraved">Serial</span>
        <input
          type="search"
          value={form.serialPart}
          placeholder="or part of one"
          spellCheck={false}
          autoComplete="off"
          onChange={(event) => change({ serialPart: event.target.value })}
        />
      </label>
      <fieldset className="verdict-choice">
        <legend className="unseen">Verdict</legend>
        {verdictOrder.map((verdict) => (
          <button
            key={verdict}
            type="button"
            aria-pressed={form.verdict === verdict}
            onClick={() => change({ verdict: form.verdict === verdict ? null : verdict })}
          >
            <VerdictMark verdict={verdict} />
          </button>
        ))}
      </fieldset>
      <div className="find-pair">
        <label className="find-field">
          <span className="engraved">Batch</span>
          <input
            value={form.batch}
            spellCheck={false}
            autoComplete="off"
            onChange={(event) => change({ batch: event.target.value })}
          />
        </label>
        <label className="find-field">
          <span className="engraved">Day</span>
          <input
            value={form.when}
            placeholder="2026-11-25"
            aria-invalid={problem !== null}
            aria-describedby={problem === null ? undefined : 'find-problem'}
            spellCheck={false}
            autoComplete="off"
            onChange={(event) => change({ when: event.target.value })}
          />
        </label>
      </div>
      {problem !== null && (
        <p id="find-problem" className="find-problem">
          {problem}
        </p>
      )}
    </search>
  );
}
