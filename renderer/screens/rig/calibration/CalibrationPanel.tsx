import { type ReactElement, useCallback, useEffect, useState } from 'react';
import type { RigView } from '../../../../src/contract/state.ts';
import type { Calibration } from '../../../../src/trust/calibration.ts';
import { callCore } from '../../../bridge/calls.ts';
import { attempt, snapshotStore } from '../../../bridge/station.ts';
import { useStore } from '../../../bridge/store.ts';
import { CalibrationSteps } from './CalibrationSteps.tsx';
import { type CalibrationDraft, type CalibrationPlan, newDraft } from './draft.ts';
import { History } from './History.tsx';
import { loadCertificate } from './load-certificate.ts';

interface CalibrationPanelProps {
  readonly rig: RigView;
  readonly fullScaleCounts: number | null;
  /** Fresh rig position, um; null while moving or not known. */
  readonly positionUm: number | null;
  readonly isStill: boolean;
  /** True while a divider is read: nobody else may ask the meter then. */
  readonly onMeterTaken: (isTaken: boolean) => void;
}

/** How far this rig can be trusted, since when, and the steps to make it so again. */
export function CalibrationPanel(props: CalibrationPanelProps): ReactElement {
  const { rig, fullScaleCounts, positionUm, isStill, onMeterTaken } = props;
  const rigSerial = rig.identity?.serial ?? null;
  // A virtual rig on a port of its own is fitted by whoever started it, like a real one.
  const isServed = useStore(snapshotStore)?.virtual != null;
  const [draft, setDraft] = useState<CalibrationDraft | null>(null);
  const [history, setHistory] = useState<readonly Calibration[]>([]);
  const read = useCallback(async (): Promise<void> => {
    if (rigSerial === null) return;
    setHistory((await attempt(() => callCore('rig.calibrations', { rigSerial }))) ?? []);
  }, [rigSerial]);
  useEffect(() => {
    setDraft(null);
    void read();
  }, [read]);
  const newestFirst = history.toSorted((a, b) => b.madeAt.localeCompare(a.madeAt));
  const active = newestFirst[0] ?? null;

  if (draft !== null && active !== null) {
    return (
      <section className="calibration" aria-label="Calibration">
        <CalibrationSteps
          draft={draft}
          before={active}
          fullScaleCounts={fullScaleCounts}
          isVirtual={isServed}
          positionUm={positionUm}
          isStill={isStill}
          onDraft={setDraft}
          onMeterTaken={onMeterTaken}
          onKept={() => {
            setDraft(null);
            void read();
          }}
        />
      </section>
    );
  }

  const load = async (): Promise<void> => {
    if ((await attempt(() => loadCertificate(rigSerial), 'rig.storeCalibration')) === true) await read();
  };
  const plan = (name: string, wish: CalibrationPlan, what: string): ReactElement => (
    <button type="button" className="key" disabled={active === null} onClick={() => setDraft(newDraft(wish))}>
      {name} <small className="soft">{what}</small>
    </button>
  );
  const isOverdue = rig.calibrationState !== 'valid';
  return (
    <section className="calibration" aria-label="Calibration">
      <h2 className="engraved">Calibration</h2>
      <p className={isOverdue ? 'lead standing bad' : 'lead standing'}>{rig.calibrationSentence}</p>
      <div className="plans">
        {plan('Position', 'position', 'two gauges')}
        {plan('Meter', 'meter', 'three dividers')}
        {plan('Both', 'both', 'five steps')}
        <button type="button" className="key" onClick={() => void load()}>
          Certificate <small className="soft">from a file</small>
        </button>
      </div>
      {active === null && (
        <p className="soft">
          A first certificate says what gauges and dividers cannot: screw, backlash, reference resistor. Load it, then
          calibrate at the bench whenever it is due.
        </p>
      )}
      <History calibrations={newestFirst} />
    </section>
  );
}
