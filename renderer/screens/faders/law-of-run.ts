/** The law revisions that runs were measured against; revisions are frozen, so what was read once stays true. */
import { useEffect, useState } from 'react';
import type { LawData } from '../../../src/law/law.ts';
import type { Calibration } from '../../../src/trust/calibration.ts';
import { callCore } from '../../bridge/calls.ts';
import { attempt } from '../../bridge/station.ts';
import { makeStore, useStore } from '../../bridge/store.ts';

const keptLaws = makeStore<readonly LawData[]>([]);

const find = (laws: readonly LawData[], id: string, revision: number): LawData | null =>
  laws.find((law) => law.id === id && law.revision === revision) ?? null;

export function useLawOf(run: { readonly lawId: string; readonly lawRevision: number } | null): LawData | null {
  const laws = useStore(keptLaws);
  const law = run === null ? null : find(laws, run.lawId, run.lawRevision);
  const isMissing = run !== null && law === null;
  useEffect(() => {
    if (!isMissing) return;
    void attempt(() => callCore('law.list', {})).then((list) => {
      if (list !== null) keptLaws.set(list.map((entry) => entry.data));
    });
  }, [isMissing]);
  return law;
}

/** The calibration a run was corrected with; null while it is read or when it is not kept here. */
export function useCalibrationOf(rigSerial: string | null, calibrationId: string | null): Calibration | null {
  const [calibrations, setCalibrations] = useState<readonly Calibration[]>([]);
  useEffect(() => {
    if (rigSerial === null) return;
    let isCurrent = true;
    void attempt(() => callCore('rig.calibrations', { rigSerial })).then((list) => {
      if (isCurrent && list !== null) setCalibrations(list);
    });
    return () => {
      isCurrent = false;
    };
  }, [rigSerial]);
  return calibrations.find((calibration) => calibration.id === calibrationId) ?? null;
}
