import { type FormEvent, type ReactElement, useState } from 'react';
import { callCore } from '../../../bridge/calls.ts';
import { attempt, settingsStore } from '../../../bridge/station.ts';
import { useStore } from '../../../bridge/store.ts';
import { numberText, signedText } from '../../../format/numbers.ts';
import { readNumber } from '../read-number.ts';
import { allDividers, bothGauges } from './draft.ts';
import { previewOf } from './preview.ts';
import type { CalibrationStepsProps } from './steps-props.ts';

const longestDays = 730;

/** Old, new and what it changes, before anything is kept; then who vouches for it, and for how long. */
export function ResultStep({ draft, before, fullScaleCounts, isVirtual, onKept }: CalibrationStepsProps): ReactElement {
  const operators = useStore(settingsStore)?.operators ?? [];
  const [operator, setOperator] = useState(operators[0] ?? '');
  const [daysText, setDaysText] = useState('180');
  const [isKeeping, setIsKeeping] = useState(false);
  const { changes, effects, refusal } = previewOf(draft, before, fullScaleCounts);
  const days = readNumber(daysText);
  const isDaysGood = days !== null && Number.isInteger(days) && days >= 1 && days <= longestDays;
  const mayKeep = refusal === null && operator.trim() !== '' && isDaysGood && !isKeeping;

  const keep = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (!mayKeep || days === null) return;
    setIsKeeping(true);
    const order = {
      operator: operator.trim(),
      gauges: bothGauges(draft),
      dividers: allDividers(draft),
      validDays: days,
    };
    const kept = await attempt(() => callCore('calibrate.store', order));
    setIsKeeping(false);
    if (kept === null) return;
    if (isVirtual && order.dividers !== null) await attempt(() => callCore('virtual.fitDivider', { lossDb: null }));
    onKept();
  };

  return (
    <form onSubmit={(event) => void keep(event)}>
      {refusal !== null && <p className="lead problem">{refusal}</p>}
      <table className="changes">
        <thead>
          <tr>
            <th scope="col">Value</th>
            <th scope="col">Old</th>
            <th scope="col">New</th>
          </tr>
        </thead>
        <tbody>
          {changes.map(({ name, unit, places, before: old, after }) => (
            <tr key={name}>
              <th scope="row">
                {name} <span className="unit">{unit}</span>
              </th>
              <td>{numberText(old, places)}</td>
              <td>{numberText(after, places)}</td>
            </tr>
          ))}
          {effects.map(({ name, unit, places, difference }) => (
            <tr key={name} className="effect">
              <th scope="row" colSpan={2}>
                {name}, readings move by
              </th>
              <td>
                {signedText(difference, places)} <span className="unit">{unit}</span>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <div className="vouch">
        <label className="named">
          <span className="engraved">Initials</span>
          <input
            value={operator}
            maxLength={8}
            list="calibration-operators"
            onChange={(event) => setOperator(event.target.value)}
          />
          <datalist id="calibration-operators">
            {operators.map((initials) => (
              <option key={initials} value={initials} />
            ))}
          </datalist>
        </label>
        <label className="named">
          <span className="engraved">Valid, days</span>
          <input
            inputMode="numeric"
            value={daysText}
            aria-invalid={!isDaysGood}
            onChange={(event) => setDaysText(event.target.value)}
          />
          {!isDaysGood && <small className="problem">1 to {longestDays}</small>}
        </label>
      </div>
      <button type="submit" className="key main next" disabled={!mayKeep}>
        {isKeeping ? 'Keeping' : 'Keep this calibration'}
      </button>
    </form>
  );
}
