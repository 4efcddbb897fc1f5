import type { StoredCalibration, StoredLaw } from '../../src/archive/law-store.ts';
import type { Opening } from '../../src/archive/openings.ts';
import type { PointRecord, ReadingRecord, RunRecord, TraceRecord } from '../../src/archive/records.ts';

export const exampleLaw: StoredLaw = {
  id: 'PF-104',
  revision: 1,
  data: { id: 'PF-104', revision: 1, title: 'programme fader', travelMm: 104, points: [{ travelMm: 16, lossDb: 40 }] },
};

export const exampleCalibration: StoredCalibration = {
  id: 'cal-VR0001-2026-11-25T08:00:00Z',
  data: { id: 'cal-VR0001-2026-11-25T08:00:00Z', rigSerial: 'VR0001', madeAt: '2026-11-25T08:00:00Z', gain: 1.00002 },
};

export const rig = { model: 'bench-1', serial: 'VR0001', firmware: '1.4.2', protocol: 1, isVirtual: true };

/** A 21-point check in both directions with closed, open and total resistance: 46 readings. */
export function exampleRun(number: number, changed: Partial<RunRecord> = {}): RunRecord {
  const points = Array.from({ length: 21 }, (_, index) => examplePoint(number, index));
  return {
    runId: `00000000-0000-4000-8000-${String(number).padStart(12, '0')}`,
    serial: `PF104-26-48-${String(number).padStart(5, '0')}`,
    batch: 'TFW-2648',
    job: 'measure',
    operator: 'KM',
    startedAt: new Date(Date.UTC(2026, 10, 25, 10) + number * 20_000).toISOString(),
    endedAt: new Date(Date.UTC(2026, 10, 25, 10) + number * 20_000 + 18_250).toISOString(),
    outcome: 'completed',
    outcomeReason: null,
    verdict: 'pass',
    verdictReason: 'all points inside the band by more than U',
    lawId: exampleLaw.id,
    lawRevision: exampleLaw.revision,
    calibrationId: exampleCalibration.id,
    rig,
    programVersion: '0.1.0',
    rigLimits: { travelMinUm: 0, travelMaxUm: 110_000, stepsPerMm: 80, fullScaleCounts: 8_388_607 },
    closedEndMm: 0.8123,
    openEndMm: 102.9031,
    worstPointIndex: 3,
    worstDeviationDb: 0.2 + number / 1e6,
    readings: Array.from({ length: 46 }, (_, sequence) => exampleReading(number, sequence)),
    points,
    checks: [
      {
        name: 'closedLoss',
        unit: 'dB',
        value: 96.4,
        lower: 80,
        upper: null,
        uncertainty: 0.4,
        zone: 'pass',
        reason: null,
      },
      {
        name: 'totalResistance',
        unit: 'ohm',
        value: 10_012,
        lower: 8000,
        upper: 12_000,
        uncertainty: 6,
        zone: 'pass',
        reason: null,
      },
    ],
    traces: [exampleTrace(number, 'closedEnd'), exampleTrace(number, 'openEnd')],
    ...changed,
  };
}

function exampleReading(number: number, sequence: number): ReadingRecord {
  const point = sequence < 42;
  return {
    sequence,
    purpose: point ? 'point' : sequence === 42 ? 'closed' : sequence === 43 ? 'open' : 'totalResistance',
    pointIndex: point ? (sequence < 21 ? sequence : 41 - sequence) : null,
    direction: point ? (sequence < 21 ? 'up' : 'down') : 'still',
    targetMm: sequence * 2.3,
    positionUm: sequence * 2300 + (number % 7),
    rigClockUs: 4_294_967_296 + number * 1000 + sequence * 250_013,
    integrationUs: 20_000,
    conversions: 4,
    wiperCounts: 8_388_607 / (1 + sequence) + 0.25,
    wiperSdCounts: 2.5 + sequence / 3,
    trackCounts: 8_380_001.75,
    overRange: false,
    travelMm: sequence * 2.3 + 0.0123,
    ratio: 1 / (1 + sequence),
    lossDb: 20 * Math.log10(1 + sequence),
  };
}

function examplePoint(number: number, pointIndex: number): PointRecord {
  const deviationDb = ((number + pointIndex) % 9) / 30;
  return {
    pointIndex,
    travelMm: pointIndex * 5.1,
    lawDb: 60 - pointIndex * 3,
    lowerDb: -0.5,
    upperDb: pointIndex === 0 ? null : 0.5,
    upDeviationDb: deviationDb + 0.01,
    downDeviationDb: deviationDb - 0.01,
    deviationDb,
    uncertaintyDb: 0.04,
    playMm: 0.05,
    zone: 'pass',
    reason: null,
  };
}

function exampleTrace(number: number, purpose: TraceRecord['purpose']): TraceRecord {
  const samples = 60;
  return {
    purpose,
    samplePeriodUs: 1000,
    trackCounts: 8_380_000.5,
    counter: Uint32Array.from({ length: samples }, (_, i) => i),
    positionUm: Int32Array.from({ length: samples }, (_, i) => i * 10 - 300),
    rigClockUs: Float64Array.from({ length: samples }, (_, i) => number * 1e6 + i * 1000.5),
    wiperCounts: Int32Array.from({ length: samples }, (_, i) => i * 5 - 20),
  };
}

export function voidRun(number: number, reason: string, changed: Partial<RunRecord> = {}): RunRecord {
  return exampleRun(number, {
    outcome: 'void',
    outcomeReason: reason,
    verdict: 'void',
    verdictReason: reason,
    calibrationId: null,
    rig: null,
    rigLimits: null,
    closedEndMm: null,
    openEndMm: null,
    worstPointIndex: null,
    worstDeviationDb: null,
    readings: [],
    points: [],
    checks: [],
    traces: [],
    ...changed,
  });
}

export function openingOf(run: RunRecord): Opening {
  const { runId, serial, batch, job, operator, startedAt, lawId, lawRevision, calibrationId, programVersion } = run;
  const rigSerial = run.rig?.serial ?? null;
  return {
    runId,
    serial,
    batch,
    job,
    operator,
    startedAt,
    lawId,
    lawRevision,
    calibrationId,
    rigSerial,
    programVersion,
  };
}
