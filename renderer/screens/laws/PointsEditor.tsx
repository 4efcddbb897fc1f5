import { type KeyboardEvent, type ReactElement, useRef, useState } from 'react';
import { type PointColumn, pointColumns, withBlock, withCell, withoutRow, withRowAfter } from './draft.ts';
import { ProblemLines, problemsAt } from './ProblemLines.tsx';
import type { PartProps } from './part-props.ts';

const heads: Readonly<Record<PointColumn, string>> = {
  travelMm: 'Travel, mm',
  lossDb: 'Loss, dB',
  minusDb: '−dB',
  plusDb: '+dB',
  travelTolMm: '±mm',
};

/** The points in place. Enter and the arrow keys go along a column; a block from a spreadsheet can be pasted. */
export function PointsEditor({ draft, checked, change }: PartProps): ReactElement {
  const table = useRef<HTMLTableElement>(null);
  const [row, setRow] = useState(0);
  const count = draft.points.length;
  // Open end on top, as on the fader; the rows of the draft run from the closed end.
  const rows = [...draft.points.keys()].reverse();
  const goTo = (to: number, column: PointColumn): void =>
    table.current?.querySelector<HTMLInputElement>(`[data-cell="${to}-${column}"]`)?.focus();
  const onKeyDown = (event: KeyboardEvent, at: number, column: PointColumn): void => {
    const by = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' || event.key === 'Enter' ? -1 : 0;
    if (by === 0) return;
    event.preventDefault();
    goTo(Math.min(count - 1, Math.max(0, at + by)), column);
  };
  const whole = checked.problems.filter((problem) => problem.path[0] === 'points' && problem.path.length === 1);
  return (
    <>
      <div className="law-scroll">
        <ProblemLines problems={whole} />
        <table ref={table} className="edit-table">
          <thead>
            <tr>
              {pointColumns.map((column) => (
                <th key={column} scope="col">
                  {heads[column]}
                </th>
              ))}
            </tr>
          </thead>
          {rows.map((at) => {
            const problems = problemsAt(checked.problems, 'points', at);
            return (
              <tbody key={at} className={at === row ? 'is-here' : undefined}>
                <tr>
                  {pointColumns.map((column) => (
                    <td key={column}>
                      <input
                        data-cell={`${at}-${column}`}
                        aria-label={`Point ${at + 1}, ${heads[column]}`}
                        aria-invalid={problems.some((problem) => problem.path[2] === column)}
                        value={draft.points[at]?.[column] ?? ''}
                        inputMode="decimal"
                        spellCheck={false}
                        autoComplete="off"
                        onFocus={(event) => {
                          setRow(at);
                          event.target.select();
                        }}
                        onKeyDown={(event) => onKeyDown(event, at, column)}
                        onChange={(event) => change(withCell(draft, at, column, event.target.value), `${at}-${column}`)}
                        onPaste={(event) => {
                          const text = event.clipboardData.getData('text/plain');
                          if (!/[\t\n]/.test(text.trim())) return;
                          event.preventDefault();
                          change(withBlock(draft, at, column, text));
                        }}
                      />
                    </td>
                  ))}
                </tr>
                {problems.length > 0 && (
                  <tr>
                    <td colSpan={pointColumns.length}>
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
        <button type="button" className="key" onClick={() => change(withRowAfter(draft, row))}>
          Add above point {row + 1}
        </button>
        <button type="button" className="key" disabled={count < 3} onClick={() => change(withoutRow(draft, row))}>
          Take {row + 1} out
        </button>
      </div>
    </>
  );
}
