import type { ReactElement, ReactNode } from 'react';
import type { RunRecord } from '../../../src/archive/records.ts';
import type { LawData } from '../../../src/law/law.ts';
import { dateText, dateTimeText, durationText } from '../../format/dates.ts';
import { dash, numberText } from '../../format/numbers.ts';
import { ScrollArea } from '../../frame/ScrollArea.tsx';
import { useCalibrationOf } from './law-of-run.ts';
import { limitRow } from './rig-limit-words.ts';

const jobs = { trim: 'Trim', goodsIn: 'Goods-in', retest: 'Retest', measure: 'Measure' } as const;
const outcomes = { completed: 'Completed', stopped: 'Stopped', void: 'Void' } as const;
const sources = { certificate: 'certificate', gauges: 'gauges and dividers', virtual: 'virtual rig' } as const;

/** Who, when, with what: everything a reader needs to trust or doubt the run. */
export function RecordTab({ run, law }: { readonly run: RunRecord; readonly law: LawData | null }): ReactElement {
  const calibration = useCalibrationOf(run.rig?.serial ?? null, run.calibrationId);
  const took = durationText(Date.parse(run.endedAt) - Date.parse(run.startedAt));
  return (
    <ScrollArea className="scroll-part record-facts" label="Record">
      <Facts title="Fader">
        <Fact name="Serial">{run.serial}</Fact>
        <Fact name="Batch">{run.batch ?? dash}</Fact>
        <Fact name="Job">{jobs[run.job]}</Fact>
        <Fact name="Electrical travel">
          {numberText(run.closedEndMm, 2)} to {numberText(run.openEndMm, 2)} mm
        </Fact>
      </Facts>
      <Facts title="Run">
        <Fact name="Operator">{run.operator}</Fact>
        <Fact name="Started">{dateTimeText(run.startedAt)}</Fact>
        <Fact name="Took">{took}</Fact>
        <Fact name="Outcome">{outcomes[run.outcome]}</Fact>
        {run.outcomeReason !== null && <Fact name="Because">{run.outcomeReason}</Fact>}
        <Fact name="Run id">{run.runId}</Fact>
      </Facts>
      <Facts title="Law">
        <Fact name="Law">
          {run.lawId} revision {run.lawRevision}
        </Fact>
        <Fact name="Title">{law?.title ?? dash}</Fact>
        <Fact name="Points">{law === null ? dash : String(law.points.length)}</Fact>
      </Facts>
      <Facts title="Station">
        <Fact name="Rig">{run.rig === null ? 'No rig answered' : `${run.rig.model}, ${run.rig.serial}`}</Fact>
        <Fact name="Kind">
          {run.rig === null ? dash : run.rig.isVirtual ? 'Virtual rig: no real fader' : 'Real rig'}
        </Fact>
        <Fact name="Firmware">{run.rig === null ? dash : `${run.rig.firmware}, wire ${run.rig.protocol}`}</Fact>
        <Fact name="Program">{run.programVersion}</Fact>
      </Facts>
      <Facts title="Calibration">
        <Fact name="Id">{run.calibrationId ?? 'None: nothing may be said'}</Fact>
        {calibration !== null && (
          <>
            <Fact name="Made">
              {dateText(calibration.madeAt)} by {calibration.madeBy}
            </Fact>
            <Fact name="Due">{dateText(calibration.dueAt)}</Fact>
            <Fact name="From">{sources[calibration.source]}</Fact>
            <Fact name="Position">
              scale {numberText(calibration.position.scale, 6)}, zero {numberText(calibration.position.zeroMm, 3)} mm
            </Fact>
            <Fact name="Meter">
              gain {numberText(calibration.meter.gain, 6)}, zero {numberText(calibration.meter.offsetCounts, 1)} counts
            </Fact>
          </>
        )}
      </Facts>
      {run.rigLimits !== null && (
        <Facts title="What the rig reported">
          {Object.entries(run.rigLimits).map(([key, reported]) => {
            const { name, value } = limitRow(key, reported, numberText);
            return (
              <Fact key={key} name={name}>
                {value}
              </Fact>
            );
          })}
        </Facts>
      )}
    </ScrollArea>
  );
}

const Facts = ({ title, children }: { readonly title: string; readonly children: ReactNode }): ReactElement => (
  <section>
    <h3 className="engraved">{title}</h3>
    <dl>{children}</dl>
  </section>
);

const Fact = ({ name, children }: { readonly name: string; readonly children: ReactNode }): ReactElement => (
  <div>
    <dt>{name}</dt>
    <dd>{children}</dd>
  </div>
);
