import { type ReactElement, useMemo, useState } from 'react';
import type { RunRecord } from '../../../src/archive/records.ts';
import type { LawData } from '../../../src/law/law.ts';
import { travelMmOf } from '../../../src/trust/apply.ts';
import { TraceView } from '../../charts/TraceView.tsx';
import { isOneWay, type TraceAxis } from '../../charts/trace-stretches.ts';
import { numberText } from '../../format/numbers.ts';
import { useCalibrationOf } from './law-of-run.ts';

const names = { closedEnd: 'Closed end', openEnd: 'Open end' } as const;

/** The glides over both ends of the track, from which the electrical travel was found. */
export function EndsTab({ run, law }: { readonly run: RunRecord; readonly law: LawData | null }): ReactElement {
  const [which, setWhich] = useState(0);
  const [wished, setWished] = useState<TraceAxis>('travel');
  const calibration = useCalibrationOf(run.rig?.serial ?? null, run.calibrationId);
  const trace = run.traces[which] ?? run.traces[0];
  const travelOf = useMemo(
    () =>
      calibration === null
        ? (positionUm: number) => positionUm / 1000
        : (positionUm: number) => travelMmOf(positionUm, 'still', calibration),
    [calibration],
  );
  const fader = useMemo(() => (law === null ? null : { marks: law.marks, travelMm: law.travelMm }), [law]);
  if (trace === undefined) {
    return (
      <div className="empty-part">
        <p className="lead">This run kept no glide over the ends.</p>
        <p className="soft">
          A check of the whole fader glides over both ends and keeps every sample, so that the electrical travel can be
          seen here.
        </p>
      </div>
    );
  }
  const canTravel = isOneWay(trace.positionUm);
  const foundMm = trace.purpose === 'closedEnd' ? run.closedEndMm : run.openEndMm;
  const axis: TraceAxis = canTravel ? wished : 'time';
  return (
    <div className="ends-part">
      <div className="ends-head">
        <fieldset className="choice">
          <legend className="unseen">Which end</legend>
          {run.traces.map((each, index) => (
            <button key={each.purpose} type="button" aria-pressed={each === trace} onClick={() => setWhich(index)}>
              {names[each.purpose]}
            </button>
          ))}
        </fieldset>
        <fieldset className="choice">
          <legend className="unseen">What runs to the right</legend>
          <button
            type="button"
            aria-pressed={axis === 'travel'}
            disabled={!canTravel}
            onClick={() => setWished('travel')}
          >
            Over travel
          </button>
          <button type="button" aria-pressed={axis === 'time'} onClick={() => setWished('time')}>
            Over time
          </button>
        </fieldset>
        <p>
          Electrical travel <b>{numberText(run.closedEndMm, 2)}</b> to <b>{numberText(run.openEndMm, 2)} mm</b>
          <small className="soft">
            {calibration === null
              ? 'travel as the rig counts it: its calibration is not kept here'
              : 'found from the two glides'}
          </small>
        </p>
      </div>
      <TraceView
        trace={trace}
        axis={axis}
        travelOf={travelOf}
        fader={fader}
        foundAt={axis === 'travel' && calibration !== null ? foundMm : null}
        label={`${names[trace.purpose]} of ${run.serial}: share of the track voltage`}
      />
    </div>
  );
}
