/** The one state snapshot and the one event stream that every screen and command line sees. */
import { z } from 'zod';
import { errorData } from './errors.ts';
import { point, rigIdentity, runSummary, type verdictWord } from './records.ts';
import { needleReading, trimPiece, trimView } from './trim.ts';

const interlocks = z.object({
  guardClosed: z.boolean(),
  emergencyStopReleased: z.boolean(),
  clampClosed: z.boolean(),
});

export const rigView = z.object({
  state: z.enum(['absent', 'connecting', 'ready', 'lost', 'refused']),
  /** Why the state is what it is, in words; null while all is well. */
  reason: z.string().nullable(),
  path: z.string().nullable(),
  identity: rigIdentity.nullable(),
  positionMm: z.number().nullable(),
  interlocks: interlocks.nullable(),
  calibrationState: z.enum(['valid', 'overdue', 'absent', 'otherRig']).nullable(),
  calibrationSentence: z.string().nullable(),
  calibrationDueAt: z.string().nullable(),
});

export const runView = z.object({
  runId: z.string(),
  serial: z.string(),
  lawId: z.string(),
  lawRevision: z.number().int(),
  state: z.enum(['running', 'pausing', 'paused', 'stopping', 'ended']),
  /** What the operator must do before it goes on; null = nothing. */
  waitingFor: z.string().nullable(),
  /** What is being done now, in words. */
  doing: z.string(),
  stepIndex: z.number().int(),
  stepCount: z.number().int(),
  fraction: z.number(),
  timeLeftMs: z.number(),
});

export const snapshot = z.object({
  programVersion: z.string(),
  archivePath: z.string(),
  rig: rigView,
  run: runView.nullable(),
  /** The piece that is being trimmed; null or absent = none. */
  trim: trimView.nullable().optional(),
  /** Set while a virtual rig is served by the core. */
  virtual: z
    .object({
      path: z.string(),
      seed: z.number().int(),
      size: z.number().int(),
      /** The fader in the virtual clamp, and the one a virtual hand would take next. */
      loadedSerial: z.string().nullable(),
      nextSerial: z.string().nullable(),
    })
    .nullable(),
});
export type Snapshot = z.infer<typeof snapshot>;
export type RigView = z.infer<typeof rigView>;
export type RunView = z.infer<typeof runView>;

/** A reading as soon as it is taken: deviation of one direction, before the verdict. */
export const livePoint = z.object({
  runId: z.string(),
  pointIndex: z.number().int(),
  travelMm: z.number(),
  direction: z.enum(['up', 'down']),
  lossDb: z.number().nullable(),
  deviationDb: z.number().nullable(),
});

export const coreEvent = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('snapshot'), snapshot }),
  z.object({ kind: z.literal('livePoint'), point: livePoint }),
  /** Sent only after the run is on disk. */
  z.object({ kind: z.literal('recorded'), summary: runSummary, points: z.array(point), nextStep: z.string() }),
  /** The run waits until the operator has done this. */
  z.object({ kind: z.literal('ask'), runId: z.string(), question: z.string() }),
  /** Sent only after the change is on disk. */
  z.object({ kind: z.literal('trimPiece'), piece: trimPiece }),
  /** About 20 times a second while a needle is open. */
  z.object({ kind: z.literal('needle'), needle: needleReading }),
  z.object({ kind: z.literal('trouble'), error: errorData }),
  z.object({ kind: z.literal('transfer'), what: z.string(), fraction: z.number() }),
]);
export type CoreEvent = z.infer<typeof coreEvent>;
export type VerdictWord = z.infer<typeof verdictWord>;
