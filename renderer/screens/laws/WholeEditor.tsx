import type { ReactElement } from 'react';
import { type WholeField, wholeFields } from './draft.ts';
import { ProblemLines } from './ProblemLines.tsx';
import type { PartProps } from './part-props.ts';

const names: Readonly<Record<WholeField, string>> = {
  title: 'Title',
  travelMm: 'Nominal travel, mm',
  closedMinLossDb: 'Closed loss, at least, dB',
  openMaxLossDb: 'Open loss, at most, dB',
  nominalOhm: 'Track, ohm',
  tolerancePercent: 'Track tolerance, ± %',
  loadOhm: 'Load, ohm; empty = none',
  maxPlayMm: 'Play, at most, mm; empty = no limit',
};

/** Where the law's rules report a problem of each field. */
const paths: Readonly<Record<WholeField, string>> = {
  title: 'title',
  travelMm: 'travelMm',
  closedMinLossDb: 'closedMinLossDb',
  openMaxLossDb: 'openMaxLossDb',
  nominalOhm: 'resistance/nominalOhm',
  tolerancePercent: 'resistance/toleranceFraction',
  loadOhm: 'loadOhm',
  maxPlayMm: 'limits/maxPlayMm',
};

/** What holds for the fader as a whole. */
export function WholeEditor({ draft, checked, change }: PartProps): ReactElement {
  return (
    <div className="law-scroll whole-editor">
      {wholeFields.map((field) => {
        const problems = checked.problems.filter((problem) => problem.path.join('/') === paths[field]);
        return (
          <div key={field}>
            <label>
              <span>{names[field]}</span>
              <input
                value={draft.whole[field]}
                aria-invalid={problems.length > 0}
                inputMode={field === 'title' ? 'text' : 'decimal'}
                spellCheck={false}
                onChange={(event) =>
                  change({ ...draft, whole: { ...draft.whole, [field]: event.target.value } }, `whole-${field}`)
                }
              />
            </label>
            <ProblemLines problems={problems} />
          </div>
        );
      })}
      <fieldset className="choice">
        <legend>Between the points</legend>
        {(['dbLinear', 'stepped'] as const).map((kind) => (
          <button
            key={kind}
            type="button"
            aria-pressed={draft.interpolation === kind}
            onClick={() => change({ ...draft, interpolation: kind })}
          >
            {kind === 'stepped' ? 'Contacts' : 'Straight in dB'}
          </button>
        ))}
      </fieldset>
    </div>
  );
}
