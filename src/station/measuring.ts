/** One measurement from request to record: opening, procedure, verdict, archive. The carriage moves only in here. */
import type { Archive } from '../archive/archive.ts';
import type { RunRecord, RunSummary } from '../archive/records.ts';
import type { Law } from '../law/build.ts';
import { lossAt } from '../law/curve.ts';
import { runProcedure } from '../procedure/engine.ts';
import { openInterlocks, pointCheck } from '../procedure/point-check.ts';
import type { RunProgress } from '../procedure/progress.ts';
import type { RigPort } from '../procedure/rig-port.ts';
import type { ProcedureRun, RunResult } from '../procedure/run-types.ts';
import type { ProcedureReading } from '../procedure/steps.ts';
import { type Clock, pause } from '../rig/clock.ts';
import { profileFor, profileForVisit } from '../rig/timing.ts';
import type { Calibration } from '../trust/calibration.ts';
import { calibrationState } from '../trust/calibration-state.ts';
import type { FaderVerdict } from '../verdict/readings.ts';
import { noteRig } from './rig-book.ts';
import { judgeRun, type RunFrame, readingRecord } from './run-record.ts';

export interface MeasureOrder {
  readonly runId: string;
  readonly serial: string;
  readonly batch: string | null;
  readonly job: RunRecord['job'];
  readonly operator: string;
  readonly law: Law;
}

export interface LivePoint {
  readonly runId: string;
  readonly pointIndex: number;
  readonly travelMm: number;
  readonly direction: 'up' | 'down';
  readonly lossDb: number | null;
  readonly deviationDb: number | null;
}

export interface RecordedRun {
  readonly summary: RunSummary;
  readonly verdict: FaderVerdict;
}

export interface MeasureNeeds {
  readonly archive: Archive;
  readonly port: RigPort;
  readonly calibration: Calibration | null;
  readonly clock: Clock;
  readonly now: () => Date;
  readonly programVersion: string;
  readonly onProgress: (progress: RunProgress) => void;
  readonly onLivePoint: (point: LivePoint) => void;
  /** The operator is asked for something; the wait ends by itself when the interlocks close. */
  readonly onAsk: (question: string) => void;
}

export interface RunningMeasurement {
  readonly order: MeasureOrder;
  readonly run: ProcedureRun | null;
  /** Resolves when the run is on disk. Rejects when it could not be written; then it is not recorded. */
  readonly recorded: Promise<RecordedRun>;
}

/** Leaves an opening in the archive, then starts. @throws ArchiveError before anything moves */
export function startMeasurement(order: MeasureOrder, needs: MeasureNeeds): RunningMeasurement {
  const { archive, port, calibration, now, programVersion } = needs;
  const startedAt = now().toISOString();
  noteRig(archive, port.identity);
  archive.beginRun({
    runId: order.runId,
    serial: order.serial,
    batch: order.batch,
    job: order.job,
    operator: order.operator,
    startedAt,
    lawId: order.law.id,
    lawRevision: order.law.revision,
    calibrationId: calibration?.id ?? null,
    rigSerial: port.identity.serial,
    programVersion,
  });
  const record = (harvest: Pick<RunResult, 'outcome' | 'reason' | 'readings' | 'traces'>): RecordedRun => {
    const frame: RunFrame = {
      ...order,
      startedAt,
      endedAt: now().toISOString(),
      programVersion,
      calibration,
      identity: port.identity,
      limits: port.limits,
    };
    const judged = judgeRun(frame, harvest);
    archive.recordRun(judged.record);
    return { summary: summaryOf(judged.record), verdict: judged.verdict };
  };

  const standing = calibrationState(calibration, port.identity.serial, startedAt);
  if (calibration === null || standing.state !== 'valid') {
    // Nothing it could read would count, so nothing is moved.
    const harvest = { outcome: 'void', reason: standing.sentence, readings: [], traces: [] } as const;
    return { order, run: null, recorded: Promise.resolve().then(() => record(harvest)) };
  }
  const run = runProcedure(
    pointCheck({ law: order.law, calibration, limits: port.limits, profileFor, profileForVisit }),
    port,
    {
      nowMs: () => needs.clock.nowMs(),
      onProgress: needs.onProgress,
      onReading: (reading) => tellPoint(reading, order, calibration, needs),
      ask: (question, signal) => waitForInterlocks(question, signal, needs),
    },
  );
  return { order, run, recorded: run.done.then(record) };
}

function tellPoint(
  reading: ProcedureReading,
  order: MeasureOrder,
  calibration: Calibration,
  needs: MeasureNeeds,
): void {
  const { pointIndex, direction } = reading;
  if (pointIndex === null || direction === 'still') return;
  const { law, runId } = order;
  const { travelMm, lossDb } = readingRecord(
    reading,
    { calibration, limits: needs.port.limits },
    law.resistance.nominalOhm,
  );
  if (travelMm === null) return;
  const lawDb = lossAt(law, travelMm);
  const deviationDb = lossDb === null || lawDb === null ? null : lossDb - lawDb;
  needs.onLivePoint({ runId, pointIndex, travelMm, direction, lossDb, deviationDb });
}

/** How often the interlocks are looked at while the operator closes them. */
const lookEveryMs = 150;

async function waitForInterlocks(
  question: string,
  signal: AbortSignal,
  { port, clock, onAsk }: MeasureNeeds,
): Promise<boolean> {
  onAsk(question);
  while (!signal.aborted) {
    const { interlocks } = await port.status(signal);
    if (openInterlocks(interlocks) === null) return true;
    await pause(clock, lookEveryMs);
  }
  return false;
}

export const summaryOf = (run: RunRecord): RunSummary => ({
  runId: run.runId,
  serial: run.serial,
  batch: run.batch,
  job: run.job,
  operator: run.operator,
  startedAt: run.startedAt,
  endedAt: run.endedAt,
  outcome: run.outcome,
  outcomeReason: run.outcomeReason,
  verdict: run.verdict,
  verdictReason: run.verdictReason,
  lawId: run.lawId,
  lawRevision: run.lawRevision,
  isVirtual: run.rig?.isVirtual === true,
  worstPointIndex: run.worstPointIndex,
  worstDeviationDb: run.worstDeviationDb,
});
