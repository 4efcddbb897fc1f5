import { type FormEvent, type ReactElement, useState } from 'react';
import { callCore } from '../../../bridge/calls.ts';
import { attempt } from '../../../bridge/station.ts';
import { numberText } from '../../../format/numbers.ts';
import { readNumber } from '../read-number.ts';
import { takeGauge } from './draft.ts';
import type { CalibrationStepsProps } from './steps-props.ts';

type GaugeStepProps = CalibrationStepsProps & { readonly index: 0 | 1 };

/** A gauge of known travel against the knob: type what it says, jog to it, take the place. */
export function GaugeStep({ draft, index, positionUm, isStill, onDraft }: GaugeStepProps): ReactElement {
  const [text, setText] = useState('');
  const [isTaking, setIsTaking] = useState(false);
  const travelMm = readNumber(text);
  const take = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    if (travelMm === null || !isStill) return;
    setIsTaking(true);
    // Asked for now: the number on the screen may be a moment old.
    const reading = await attempt(() => callCore('rig.read', {}));
    setIsTaking(false);
    if (reading !== null)
      onDraft(takeGauge(draft, index, { travelMm, positionUm: reading.positionUm, approach: reading.approach }));
  };
  const first = draft.gauges[0];
  return (
    <form onSubmit={(event) => void take(event)}>
      <p className="lead">
        {index === 0
          ? 'Set the first gauge near the closed end. Type its true travel, jog until the knob touches it, then take it.'
          : 'Set the second gauge near the open end, at least 30 mm from the first, and do the same.'}
      </p>
      <label className="named">
        <span className="engraved">True travel of the gauge, mm</span>
        <input inputMode="decimal" value={text} onChange={(event) => setText(event.target.value)} />
        <small className="soft">From the closed end, as its certificate says</small>
      </label>
      <dl className="taken">
        <dt>Rig position now</dt>
        <dd>
          {numberText(positionUm === null ? null : positionUm / 1000, 3)} <span className="unit">mm</span>
        </dd>
        {first !== null && index === 1 && (
          <>
            <dt>Gauge 1: {numberText(first.travelMm, 3)} mm</dt>
            <dd>
              {numberText(first.positionUm / 1000, 3)} <span className="unit">mm</span>
            </dd>
          </>
        )}
      </dl>
      <button type="submit" className="key main next" disabled={travelMm === null || !isStill || isTaking}>
        {isTaking ? 'Taking' : 'Take this place'} <span className="cap">Enter</span>
      </button>
    </form>
  );
}
