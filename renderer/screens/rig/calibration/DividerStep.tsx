import { type ReactElement, useState } from 'react';
import { callCore } from '../../../bridge/calls.ts';
import { attempt } from '../../../bridge/station.ts';
import { numberText } from '../../../format/numbers.ts';
import { type DividerLoss, takeDivider } from './draft.ts';
import type { CalibrationStepsProps } from './steps-props.ts';

type DividerStepProps = CalibrationStepsProps & { readonly lossDb: DividerLoss };

/** A reference divider in the fader's place: put it in, read it. */
export function DividerStep({
  draft,
  lossDb,
  isVirtual,
  isStill,
  onDraft,
  onMeterTaken,
}: DividerStepProps): ReactElement {
  const [isReading, setIsReading] = useState(false);
  const [isFitted, setIsFitted] = useState(false);
  const name = `\u2212${lossDb} dB`;

  const putIn = async (): Promise<void> => {
    if ((await attempt(() => callCore('virtual.fitDivider', { lossDb }))) !== null) setIsFitted(true);
  };
  const read = async (): Promise<void> => {
    setIsReading(true);
    onMeterTaken(true);
    const reading = await attempt(() => callCore('calibrate.divider', { nominalLossDb: lossDb }));
    onMeterTaken(false);
    setIsReading(false);
    if (reading !== null) onDraft(takeDivider(draft, reading));
  };

  return (
    <>
      <p className="lead">
        Take the fader out and put the {name} divider in its place, sense leads on. Wait a minute for it to reach the
        room&rsquo;s temperature, then read it.
      </p>
      {isVirtual && (
        <button type="button" className="key" onClick={() => void putIn()}>
          {isFitted ? `${name} is in` : `Put ${name} in`} <small className="soft">virtual rig</small>
        </button>
      )}
      <dl className="taken">
        {draft.dividers.map(({ nominalLossDb, lossDb: readDb }) => (
          <div key={nominalLossDb}>
            <dt>&minus;{nominalLossDb} dB, as calibrated until now</dt>
            <dd>
              {numberText(readDb === null ? null : -readDb, 3)} <span className="unit">dB</span>
            </dd>
          </div>
        ))}
      </dl>
      <button
        type="button"
        className="key main next"
        disabled={!isStill || isReading || (isVirtual && !isFitted)}
        onClick={() => void read()}
      >
        {isReading ? 'Reading' : `Read ${name}`}
      </button>
    </>
  );
}
