/** One RunRecord from what a run harvested and what the verdict says of it. Pure. */
import type { ReadingRecord, RunRecord, TraceRecord } from '../archive/records.ts';
import type { Law } from '../law/build.ts';
import type { RigIdentity, RigLimits } from '../procedure/rig-port.ts';
import type { RunResult } from '../procedure/run-types.ts';
import type { ProcedureReading, ProcedureTrace } from '../procedure/steps.ts';
import { applyReading, travelMmOf } from '../trust/apply.ts';
import type { Calibration } from '../trust/calibration.ts';
import { findEnd } from '../verdict/ends.ts';
import { judgeFader } from '../verdict/judge-fader.ts';
import type { FaderVerdict } from '../verdict/readings.ts';

export interface RunFrame {
  readonly runId: string;
  readonly serial: string;
  readonly batch: string | null;
  readonly job: RunRecord['job'];
  readonly operator: string;
  readonly startedAt: string;
  readonly endedAt: string;
  readonly programVersion: string;
  readonly law: Law;
  readonly calibration: Calibration | null;
  readonly identity: RigIdentity;
  readonly limits: RigLimits;
}

export interface JudgedRun {
  readonly record: RunRecord;
  readonly verdict: FaderVerdict;
}

export type RunHarvest = Pick<RunResult, 'outcome' | 'reason' | 'readings' | 'traces'>;

export function judgeRun(frame: RunFrame, harvest: RunHarvest): JudgedRun {
  const { law, calibration, limits, identity } = frame;
  const ends = {
    closedMm: endTravel(harvest.traces, 'closedEnd', calibration),
    openMm: endTravel(harvest.traces, 'openEnd', calibration),
  };
  const verdict = judgeFader({
    readings: harvest.readings,
    law,
    calibration,
    limits,
    rigSerial: identity.serial,
    measuredAtIso: frame.startedAt,
    outcome: harvest.outcome,
    outcomeReason: harvest.reason,
    ends,
  });
  const trackOhm = verdict.checks.find((check) => check.name === 'totalResistance')?.value ?? law.resistance.nominalOhm;
  const record: RunRecord = {
    runId: frame.runId,
    serial: frame.serial,
    batch: frame.batch,
    job: frame.job,
    operator: frame.operator,
    startedAt: frame.startedAt,
    endedAt: frame.endedAt,
    outcome: harvest.outcome,
    outcomeReason: harvest.reason,
    verdict: verdict.verdict,
    verdictReason: verdict.reason,
    lawId: law.id,
    lawRevision: law.revision,
    calibrationId: calibration?.id ?? null,
    rig: identity,
    programVersion: frame.programVersion,
    rigLimits: { ...limits },
    closedEndMm: ends.closedMm,
    openEndMm: ends.openMm,
    worstPointIndex: verdict.worstPointIndex,
    worstDeviationDb: verdict.worstDeviationDb,
    readings: harvest.readings.map((reading) => readingRecord(reading, frame, trackOhm)),
    points: verdict.points,
    checks: verdict.checks,
    traces: harvest.traces.map(traceRecord),
  };
  return { record, verdict };
}

function endTravel(
  traces: readonly ProcedureTrace[],
  purpose: ProcedureTrace['purpose'],
  calibration: Calibration | null,
): number | null {
  const trace = traces.find((one) => one.purpose === purpose);
  if (trace === undefined || calibration === null) return null;
  const { positionUm } = findEnd(trace.samples, purpose === 'closedEnd' ? 'closed' : 'open');
  return positionUm === null ? null : travelMmOf(positionUm, 'up', calibration);
}

/** The raw numbers as they came, with the calibrated ones beside them; null where no calibration can say. */
export function readingRecord(
  reading: ProcedureReading,
  { calibration, limits }: Pick<RunFrame, 'calibration' | 'limits'>,
  trackOhm: number,
): ReadingRecord {
  const bare = { ...reading, travelMm: null, ratio: null, lossDb: null };
  if (calibration === null) return bare;
  const applied = applyReading(reading, reading.direction, calibration, limits, trackOhm);
  // With the series resistor in the feed the ratio is not the fader's.
  if (reading.purpose === 'totalResistance') return { ...bare, travelMm: applied.travelMm };
  return { ...bare, ...applied };
}

function traceRecord({ purpose, samplePeriodUs, trackCounts, samples }: ProcedureTrace): TraceRecord {
  return {
    purpose,
    samplePeriodUs,
    trackCounts,
    counter: Uint32Array.from(samples, (sample) => sample.counter),
    positionUm: Int32Array.from(samples, (sample) => sample.positionUm),
    rigClockUs: Float64Array.from(samples, (sample) => sample.rigClockUs),
    wiperCounts: Int32Array.from(samples, (sample) => sample.wiperCounts),
  };
}

/** What is written for a run that the program itself did not live to end. */
export function interruptedRecord(
  opening: Pick<
    RunRecord,
    | 'runId'
    | 'serial'
    | 'batch'
    | 'job'
    | 'operator'
    | 'startedAt'
    | 'lawId'
    | 'lawRevision'
    | 'calibrationId'
    | 'rig'
    | 'programVersion'
  >,
  endedAt: string,
): RunRecord {
  const reason = 'The program ended in the middle of this run, so nothing may be said of the fader: measure it again.';
  return {
    ...opening,
    endedAt,
    outcome: 'void',
    outcomeReason: reason,
    verdict: 'void',
    verdictReason: reason,
    rigLimits: null,
    closedEndMm: null,
    openEndMm: null,
    worstPointIndex: null,
    worstDeviationDb: null,
    readings: [],
    points: [],
    checks: [],
    traces: [],
  };
}
