/** Shapes of the archive's records as they cross a process boundary, checked where they arrive. */
import { z } from 'zod';
import type {
  CheckRecord,
  PointRecord,
  ReadingRecord,
  RunRecord,
  RunSummary,
  TraceRecord,
} from '../archive/records.ts';
import type { LawData } from '../law/law.ts';
import type { Calibration } from '../trust/calibration.ts';

export type {
  CheckRecord,
  PointRecord,
  ReadingRecord,
  RunRecord,
  RunSummary,
  TraceRecord,
} from '../archive/records.ts';

export const verdictWord = z.enum(['pass', 'doubt', 'fail', 'void']);
export const job = z.enum(['trim', 'goodsIn', 'retest', 'measure']);
const outcome = z.enum(['completed', 'stopped', 'void']);
const direction = z.enum(['up', 'down', 'still']);
const gap = z.number().nullable();

const reading: z.ZodType<ReadingRecord> = z.object({
  sequence: z.number().int(),
  purpose: z.enum(['point', 'closed', 'open', 'totalResistance']),
  pointIndex: z.number().int().nullable(),
  direction,
  targetMm: z.number(),
  positionUm: z.number(),
  rigClockUs: z.number(),
  integrationUs: z.number(),
  conversions: z.number().int(),
  wiperCounts: z.number(),
  wiperSdCounts: gap,
  trackCounts: z.number(),
  overRange: z.boolean(),
  travelMm: gap,
  ratio: gap,
  lossDb: gap,
});

export const point: z.ZodType<PointRecord> = z.object({
  pointIndex: z.number().int(),
  travelMm: z.number(),
  lawDb: z.number(),
  lowerDb: z.number(),
  upperDb: gap,
  upDeviationDb: gap,
  downDeviationDb: gap,
  deviationDb: gap,
  uncertaintyDb: gap,
  playMm: gap,
  zone: verdictWord,
  reason: z.string().nullable(),
});

const check: z.ZodType<CheckRecord> = z.object({
  name: z.enum(['closedLoss', 'openLoss', 'totalResistance', 'play']),
  unit: z.enum(['dB', 'ohm', 'mm']),
  value: gap,
  lower: gap,
  upper: gap,
  uncertainty: gap,
  zone: verdictWord,
  reason: z.string().nullable(),
});

const trace: z.ZodType<TraceRecord> = z.object({
  purpose: z.enum(['closedEnd', 'openEnd']),
  samplePeriodUs: z.number(),
  trackCounts: z.number(),
  counter: z.instanceof(Uint32Array),
  positionUm: z.instanceof(Int32Array),
  rigClockUs: z.instanceof(Float64Array),
  wiperCounts: z.instanceof(Int32Array),
});

export const rigIdentity = z.object({
  model: z.string(),
  serial: z.string(),
  firmware: z.string(),
  protocol: z.number().int(),
  isVirtual: z.boolean(),
});

export const runSummary: z.ZodType<RunSummary> = z.object({
  runId: z.string(),
  serial: z.string(),
  batch: z.string().nullable(),
  job,
  operator: z.string(),
  startedAt: z.string(),
  endedAt: z.string(),
  outcome,
  outcomeReason: z.string().nullable(),
  verdict: verdictWord,
  verdictReason: z.string(),
  lawId: z.string(),
  lawRevision: z.number().int(),
  isVirtual: z.boolean(),
  worstPointIndex: z.number().int().nullable(),
  worstDeviationDb: gap,
});

export const runRecord: z.ZodType<RunRecord> = z.object({
  runId: z.string(),
  serial: z.string(),
  batch: z.string().nullable(),
  job,
  operator: z.string(),
  startedAt: z.string(),
  endedAt: z.string(),
  outcome,
  outcomeReason: z.string().nullable(),
  verdict: verdictWord,
  verdictReason: z.string(),
  lawId: z.string(),
  lawRevision: z.number().int(),
  calibrationId: z.string().nullable(),
  rig: rigIdentity.nullable(),
  programVersion: z.string(),
  rigLimits: z.record(z.string(), z.number()).nullable(),
  closedEndMm: gap,
  openEndMm: gap,
  worstPointIndex: z.number().int().nullable(),
  worstDeviationDb: gap,
  readings: z.array(reading),
  points: z.array(point),
  checks: z.array(check),
  traces: z.array(trace),
});

const amount = z.number().nonnegative();
/** A calibration certificate, from a file or from the station. */
export const calibration: z.ZodType<Calibration> = z
  .strictObject({
    id: z.string().min(1),
    rigSerial: z.string().min(1),
    madeAt: z.iso.datetime(),
    dueAt: z.iso.datetime(),
    source: z.enum(['certificate', 'gauges', 'virtual']),
    madeBy: z.string().min(1),
    position: z.strictObject({
      scale: z.number().gt(0.5).lt(2),
      zeroMm: z.number(),
      backlashMm: amount,
      uZeroMm: amount,
      uBacklashMm: amount,
      uScale: amount,
      screwAmplitudeMm: amount,
      uHomeMm: amount,
    }),
    meter: z.strictObject({
      offsetCounts: z.number(),
      trackOffsetCounts: z.number(),
      gain: z.number().gt(0.5).lt(2),
      uOffsetCounts: amount,
      uGain: amount,
      nonLinearity: amount,
      seriesReferenceOhm: z.number().positive(),
      uSeriesReference: amount,
    }),
  })
  .refine(({ madeAt, dueAt }) => Date.parse(dueAt) > Date.parse(madeAt), {
    path: ['dueAt'],
    message: 'must be later than madeAt',
  });

/** The law's own room validates it; the boundary only makes sure that it is one. */
export const lawData = z.custom<LawData>(
  (value) => typeof value === 'object' && value !== null && 'points' in value && 'id' in value,
  'not a law',
);
