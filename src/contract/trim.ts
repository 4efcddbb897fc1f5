/** Trimming as it crosses a process boundary: a piece on its way, its cuts, the live needle, a batch. */
import { z } from 'zod';
import type { Cut, CuttingRules, HopelessReason, PlannedPoint, ToolBelief, TrackCell, TrimPlan } from '../trim/trim.ts';

export type { Cut, CuttingRules, HopelessReason, PlannedPoint, ToolBelief, TrackCell, TrimPlan } from '../trim/trim.ts';

const amount = z.number().nonnegative();
const index = z.number().int().nonnegative();
const cutNumber = z.number().int().positive();
const side = z.enum(['left', 'right']);

/** How a tool cuts; each kind has its own prior belief. */
export const toolKind = z.enum(['mill', 'abrasive', 'hand']);
export type ToolKind = z.infer<typeof toolKind>;

const shave = z.object({
  kind: z.literal('shave'),
  number: cutNumber,
  cellIndex: index,
  side,
  fromMm: z.number(),
  toMm: z.number(),
  depthMm: z.number().positive(),
});
const plunge = z.object({
  kind: z.literal('plunge'),
  number: cutNumber,
  cellIndex: index,
  side,
  atMm: z.number(),
  depthMm: z.number().positive(),
});
export const cut: z.ZodType<Cut> = z.discriminatedUnion('kind', [shave, plunge]);

const plannedPoint: z.ZodType<PlannedPoint> = z.object({
  pointIndex: index,
  travelMm: z.number(),
  deviationBeforeDb: z.number(),
  deviationAfterDb: z.number(),
  sdAfterDb: amount,
});

export const trimPlan: z.ZodType<TrimPlan> = z.object({
  cuts: z.array(cut),
  addedOhm: z.array(z.number()),
  share: z.number(),
  points: z.array(plannedPoint),
  totalAfterOhm: z.number(),
  margin: z.number(),
  removalMm2: amount,
  passesExpected: z.number(),
  overCutRisk: z.number(),
});

export const hopelessReason: z.ZodType<HopelessReason> = z.object({
  code: z.enum(['totalTooHigh', 'totalTooLow', 'cellTooResistive', 'wrongTaper', 'deadZone', 'notMeasured']),
  cellIndex: index.nullable(),
  pointIndex: index.nullable(),
  sentence: z.string(),
});

export const toolBelief: z.ZodType<ToolBelief> = z.object({
  mean: z.number(),
  sd: amount,
  cutSd: amount,
  cuts: index,
});

export const trackCell: z.ZodType<TrackCell> = z.object({
  index,
  fromMm: z.number(),
  toMm: z.number(),
  ohm: z.number(),
  uOhm: amount,
});

export const cuttingRules: z.ZodType<CuttingRules> = z.object({
  widthMm: amount,
  swathMm: amount,
  endMarginMm: amount,
  closedEdgeMm: z.number(),
  openEdgeMm: z.number(),
  depthStepMm: amount,
  placeSdMm: amount,
  mostGrowth: amount,
});

/**
 * Where a piece stands. `measured`: a measurement is on disk and nothing follows from it yet. `planned`: cuts are planned and
 * not asked for. `cutsAsked`: the operator was told to cut, so some cuts may have been made. `cutsDone`: all were made and not
 * measured yet. `accepted`, `ended`, `hopeless` are ends; only a new start follows.
 */
export const trimState = z.enum(['measured', 'planned', 'cutsAsked', 'cutsDone', 'accepted', 'ended', 'hopeless']);
export type TrimState = z.infer<typeof trimState>;
export const trimSortWord = z.enum(['conforms', 'trimmable', 'hopeless']);

/** One cutting pass of a piece. */
export const trimPass = z.object({
  /** 1, 2, 3 ... */
  pass: cutNumber,
  toolId: z.string(),
  toolKind,
  runBefore: z.string(),
  /** Null = not measured since. */
  runAfter: z.string().nullable(),
  plan: trimPlan,
  /** Numbers of the cuts that the operator said are made. */
  cutsDone: z.array(cutNumber),
  askedAt: z.string().nullable(),
  doneAt: z.string().nullable(),
  /** What the re-measurement taught; null = not yet, or it could not be told. `achieved` = gain seen in this pass alone. */
  gain: z.object({ achieved: z.number().nullable(), before: toolBelief, after: toolBelief }).nullable(),
});
export type TrimPass = z.infer<typeof trimPass>;

export const trimPiece = z.object({
  serial: z.string(),
  batch: z.string().nullable(),
  lawId: z.string(),
  lawRevision: z.number().int(),
  operator: z.string(),
  toolId: z.string(),
  toolKind,
  state: trimState,
  /** Film was or may have been taken since the last measurement: only measuring may follow, never the same cuts again. */
  mustRemeasure: z.boolean(),
  /** The newest sort; null = not sorted (void measurement, or none). */
  sort: trimSortWord.nullable(),
  /** The sort before the first cut. */
  firstSort: trimSortWord.nullable(),
  reasons: z.array(hopelessReason),
  /** What is known and what to do next. */
  sentence: z.string(),
  /** Cutting passes asked for so far, and how many are allowed. */
  pass: index,
  passLimit: cutNumber,
  /** What is to be cut next, or was asked for and is not measured yet; null = nothing. Same as the last of `passes` once asked. */
  plan: trimPlan.nullable(),
  cells: z.array(trackCell),
  rules: cuttingRules.nullable(),
  belief: toolBelief,
  passes: z.array(trimPass),
  /** All measurements of this trimming, oldest first. */
  runs: z.array(z.string()),
  startedAt: z.string(),
  changedAt: z.string(),
});
export type TrimPiece = z.infer<typeof trimPiece>;

/** What the snapshot tells of the piece that is being trimmed; the whole piece comes with the event `trimPiece`. */
export const trimView = z.object({
  serial: z.string(),
  state: trimState,
  mustRemeasure: z.boolean(),
  pass: index,
  passLimit: cutNumber,
  /** A measurement is on disk and the planner is at work. */
  isPlanning: z.boolean(),
  /** Dust and warmth: no measurement begins before this many milliseconds; 0 = now. */
  settleLeftMs: amount,
  /** The live needle of this cell is open; null = closed. */
  needleCell: index.nullable(),
});
export type TrimView = z.infer<typeof trimView>;

export const needleState = z.enum(['parking', 'waiting', 'live', 'stop', 'ended']);
/**
 * One reading of the live needle. `parking`: the carriage moves, guard closed. `waiting`: stands still, motor power off, waits
 * for the guard to open. `live`: cut. `stop`: take the tool away now. `ended`: closed, `reason` says why.
 */
export const needleReading = z.object({
  serial: z.string(),
  cellIndex: index,
  state: needleState,
  reason: z.string().nullable(),
  /** Where the wiper is parked. */
  parkedMm: z.number(),
  /** Milliseconds since the needle was opened. */
  atMs: amount,
  ratio: z.number().nullable(),
  totalOhm: z.number().nullable(),
  /** The cell when the needle was opened, now (null = no fresh reading), aimed at, and where the hand must stop. */
  startOhm: z.number(),
  nowOhm: z.number().nullable(),
  targetOhm: z.number(),
  stopOhm: z.number(),
  /** 0 = nothing cut, 1 = the stop line. */
  approach: z.number().nullable(),
  /** Cutting rate seen; null = not known yet. */
  rateOhmPerS: z.number().nullable(),
  /** The stop line is reached or passed. Stays true once true. */
  stop: z.boolean(),
  /** The target itself is passed. */
  over: z.boolean(),
});
export type NeedleReading = z.infer<typeof needleReading>;

export const gainStep = z.object({
  /** 1 = the first re-measured pass of the batch. */
  pass: cutNumber,
  serial: z.string(),
  at: z.string(),
  toolId: z.string(),
  achieved: z.number().nullable(),
  mean: z.number(),
  sd: z.number(),
});
export type GainStep = z.infer<typeof gainStep>;

export const trimBatchPiece = z.object({
  serial: z.string(),
  state: trimState,
  firstSort: trimSortWord.nullable(),
  passes: index,
  /** Deviation of the point that is worst by its limits, at the first and at the newest measurement, dB; null = not known. */
  worstBeforeDb: z.number().nullable(),
  worstAfterDb: z.number().nullable(),
  /** The same as a share of the limit there: 1 = on the limit, above = outside. */
  worstBeforeShare: z.number().nullable().optional(),
  worstAfterShare: z.number().nullable().optional(),
  cuts: index,
  removalMm2: amount,
  /** From the first measurement to the end; null = not at an end. */
  tookMs: amount.nullable(),
});
export const trimBatch = z.object({
  batch: z.string(),
  pieces: z.array(trimBatchPiece),
  /** Pieces at an end. */
  done: index,
  sorts: z.object({ conforms: index, trimmable: index, hopeless: index }),
  ends: z.object({ accepted: index, ended: index, hopeless: index, open: index }),
  /** Of the pieces that were cut and accepted: how many took one pass, two ... */
  passes: z.array(z.object({ passes: cutNumber, pieces: index })),
  /** Share of those accepted after their first pass; null = none yet. */
  firstPassShare: z.number().nullable(),
  gains: z.array(gainStep),
  /** Median over the pieces at an end. */
  medianTookMs: amount.nullable(),
});
export type TrimBatch = z.infer<typeof trimBatch>;

export const trimSettings = z.object({
  /** Cutting passes a piece may have. */
  passLimit: z.number().int().min(1).max(9),
  /** Chance of losing the piece by over-cutting above which a pass is refused. */
  riskLimit: z.number().positive().max(0.5),
  /** Dust and warmth: least time between the last cut and the next measurement, seconds. */
  settleS: z.number().min(0).max(600),
  toolId: z.string().min(1).max(40),
  toolKind,
});
export type TrimSettings = z.infer<typeof trimSettings>;
