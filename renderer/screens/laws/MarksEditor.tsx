import { type ReactElement, useState } from 'react';
import type { DraftMark } from './draft.ts';
import { ProblemLines, problemsAt } from './ProblemLines.tsx';
import type { PartProps } from './part-props.ts';

/** Texts of the printed scale at their travel. */
export function MarksEditor({ draft, checked, change }: PartProps): ReactElement {
  const [row, setRow] = useState(0);
  const rows = [...draft.marks.keys()].reverse();
  const set = (at: number, part: Partial<DraftMark>, typing: string): void =>
    change({ ...draft, marks: draft.marks.map((mark, index) => (index === at ? { ...mark, ...part } : mark)) }, typing);
  return (
    <>
      <div className="law-scroll">
        <table className="edit-table">
          <thead>
            <tr>
              <th scope="col">Travel, mm</th>
              <th scope="col">Printed text</th>
            </tr>
          </thead>
          {rows.map((at) => {
            const problems = problemsAt(checked.problems, 'marks', at);
            const wrong = (field: string): boolean => problems.some((problem) => problem.path[2] === field);
            return (
              <tbody key={at} className={at === row ? 'is-here' : undefined}>
                <tr>
                  <td>
                    <input
                      aria-label={`Mark ${at + 1}, travel in mm`}
                      aria-invalid={wrong('travelMm')}
                      value={draft.marks[at]?.travelMm ?? ''}
                      inputMode="decimal"
                      onFocus={() => setRow(at)}
                      onChange={(event) => set(at, { travelMm: event.target.value }, `mark-${at}-travel`)}
                    />
                  </td>
                  <td>
                    <input
                      aria-label={`Mark ${at + 1}, text`}
                      aria-invalid={wrong('text')}
                      value={draft.marks[at]?.text ?? ''}
                      onFocus={() => setRow(at)}
                      onChange={(event) => set(at, { text: event.target.value }, `mark-${at}-text`)}
                    />
                  </td>
                </tr>
                {problems.length > 0 && (
                  <tr>
                    <td colSpan={2}>
                      <ProblemLines problems={problems} />
                    </td>
                  </tr>
                )}
              </tbody>
            );
          })}
        </table>
      </div>
      <div className="pair">
        <button
          type="button"
          className="key"
          onClick={() => change({ ...draft, marks: draft.marks.toSpliced(row + 1, 0, { travelMm: '', text: '' }) })}
        >
          Add a mark
        </button>
        <button
          type="button"
          className="key"
          disabled={draft.marks.length === 0}
          onClick={() => change({ ...draft, marks: draft.marks.toSpliced(row, 1) })}
        >
          Take {row + 1} out
        </button>
      </div>
    </>
  );
}
