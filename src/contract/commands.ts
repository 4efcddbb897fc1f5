/** Every command that may cross into the core: what it takes and what it answers. One table, used by both sides. */
import { z } from 'zod';
import { calibration, job, lawData, runRecord, runSummary, verdictWord } from './records.ts';
import { livePoint, snapshot } from './state.ts';
import { cut, toolKind, trimBatch, trimPiece, trimSettings } from './trim.ts';

const nothing = z.object({});
/** Far above anything a person or a scanner sends; what is longer is a defect and is not carried on. */
const text = z.string().max(1_000);
const name = text.min(1);
const path = z.string().min(1).max(4_096);

export const findQuery = z.object({
  serialPart: text.optional(),
  batch: text.optional(),
  verdict: verdictWord.optional(),
  /** ISO dates, inclusive from, exclusive to. */
  from: text.optional(),
  to: text.optional(),
  lawId: text.optional(),
  limit: z.number().int().positive().max(1_000).optional(),
  offset: z.number().int().nonnegative().optional(),
});

export const measureRequest = z.object({
  serial: name,
  operator: name,
  lawId: name,
  /** Absent = newest revision. */
  lawRevision: z.number().int().positive().optional(),
  batch: name.nullable(),
  job,
});

export const virtualRequest = z.object({
  seed: z.number().int().nonnegative(),
  size: z.number().int().positive().max(100_000),
  lawId: name,
  finish: z.enum(['delivered', 'raw', 'trimming']),
  faultShare: z.number().min(0).max(1),
  timeFactor: z.number().positive().max(1_000),
  corruptOneIn: z.number().int().nonnegative().optional(),
  parametersFile: path.optional(),
});

const toolName = z.string().trim().min(1).max(40);

export const trimRequest = measureRequest.omit({ job: true }).extend({
  /** Absent = the tool of the settings. */
  tool: z.object({ id: toolName, kind: toolKind }).optional(),
});

const portInfo = z.object({
  path: z.string(),
  vendor: z.string().nullable(),
  product: z.string().nullable(),
  serial: z.string().nullable(),
  /** Null = can be opened; else what stands in the way and what to do. */
  problem: z.string().nullable(),
});

const doctorLine = z.object({
  subject: z.string(),
  state: z.enum(['good', 'attention', 'bad']),
  text: z.string(),
  remedy: z.string().nullable(),
});

const lawInfo = z.object({ data: lawData, runs: z.number().int() });

const define = <I extends z.ZodType, O extends z.ZodType>(input: I, output: O) => ({ input, output });

/** Where the carriage stands and what the meter reads, calibrated where that is possible. */
const liveReading = z.object({
  positionUm: z.number(),
  travelMm: z.number().nullable(),
  ratio: z.number().nullable(),
  lossDb: z.number().nullable(),
  trackCounts: z.number(),
  wiperCounts: z.number(),
  /** The way the last jog went; null = not reached by a jog. */
  approach: z.enum(['up', 'down']).nullable().optional(),
});

const linkStatistics = z.object({
  linesSent: z.number().int(),
  linesReceived: z.number().int(),
  badLines: z.number().int(),
  retransmissions: z.number().int(),
  roundTripMedianMs: z.number().nullable(),
  roundTripP99Ms: z.number().nullable(),
});

const logLine = z.object({ at: z.string(), text: z.string() });

/** A gauge placed at a known travel and the rig position at which the knob touched it. */
const gaugeMark = z.object({
  travelMm: z.number(),
  positionUm: z.number(),
  /** The way the knob came; absent or null = not known, which widens the uncertainty of the zero. */
  approach: z.enum(['up', 'down']).nullable().optional(),
});

export const dividerLossesDb = [20, 40, 60] as const;
const dividerReading = z.object({
  nominalLossDb: z.union([z.literal(20), z.literal(40), z.literal(60)]),
  wiperCounts: z.number(),
  trackCounts: z.number(),
  sdCounts: z.number().nullable(),
  lossDb: z.number().nullable(),
});

export const stationSettings = z.object({
  /** Initials; the first is offered at start. */
  operators: z.array(z.string().min(1).max(8)).max(200),
  theme: z.enum(['system', 'light', 'dark']),
  sound: z.boolean(),
  decimalSign: z.enum(['point', 'comma']),
  firstStartDone: z.boolean(),
  lastPort: z.string().nullable(),
  lastLawId: z.string().nullable(),
});
export type StationSettings = z.infer<typeof stationSettings>;

export const commands = {
  snapshot: define(nothing, snapshot),
  'rig.ports': define(nothing, z.array(portInfo)),
  'rig.connect': define(z.object({ path }), nothing),
  'rig.disconnect': define(nothing, nothing),
  'rig.calibrations': define(z.object({ rigSerial: text }), z.array(calibration)),
  'rig.storeCalibration': define(z.object({ calibration }), nothing),
  'virtual.start': define(virtualRequest, z.object({ path, serials: z.array(z.string()) })),
  'virtual.load': define(z.object({ index: z.number().int().nonnegative() }), z.object({ serial: z.string() })),
  'virtual.stop': define(nothing, nothing),
  /** Puts a reference divider into the virtual rig instead of a fader; `null` puts the fader back. */
  'virtual.fitDivider': define(
    z.object({ lossDb: z.union([z.literal(20), z.literal(40), z.literal(60)]).nullable() }),
    nothing,
  ),
  'virtual.interlocks': define(
    z.object({ guardClosed: z.boolean(), emergencyStopReleased: z.boolean(), clampClosed: z.boolean() }),
    nothing,
  ),
  'rig.home': define(nothing, nothing),
  /** Moves slowly towards the target until there, or until `rig.halt`: allowed with the guard open. */
  'rig.creep': define(z.object({ targetMm: z.number(), speedMmPerS: z.number().positive().max(20) }), nothing),
  'rig.halt': define(nothing, nothing),
  'rig.park': define(nothing, nothing),
  /** What the connected rig says it can do, by the names of `RigLimits`. */
  'rig.limits': define(nothing, z.record(z.string(), z.number())),
  'rig.read': define(nothing, liveReading),
  'rig.statistics': define(nothing, linkStatistics),
  'rig.log': define(nothing, z.array(logLine)),
  'calibrate.divider': define(
    z.object({ nominalLossDb: z.union([z.literal(20), z.literal(40), z.literal(60)]) }),
    dividerReading,
  ),
  /** Makes and keeps a calibration from gauges, dividers or both; what is not given is taken from the active one. */
  'calibrate.store': define(
    z.object({
      operator: name,
      gauges: z.tuple([gaugeMark, gaugeMark]).nullable(),
      dividers: z.array(dividerReading).nullable(),
      validDays: z.number().int().positive().max(730),
    }),
    z.object({ calibration }),
  ),
  'settings.read': define(nothing, stationSettings),
  'settings.write': define(stationSettings.partial(), stationSettings),
  'run.start': define(measureRequest, z.object({ runId: z.string(), attempt: z.number().int() })),
  /** Resolves when the run is on disk. */
  'run.wait': define(z.object({ runId: text }), z.object({ summary: runSummary, nextStep: z.string() })),
  /** A run that waits for clamp, guard or emergency stop goes on by itself when they hold. */
  'run.pause': define(nothing, nothing),
  'run.resume': define(nothing, nothing),
  'run.stop': define(nothing, nothing),
  /** What the newest run has read so far, for a window that was loaded anew in the middle of it. */
  'run.livePoints': define(nothing, z.object({ points: z.array(livePoint) })),
  'run.read': define(z.object({ runId: text }), runRecord),
  'runs.find': define(findQuery, z.object({ runs: z.array(runSummary), total: z.number().int() })),
  'runs.lastPieces': define(z.object({ count: z.number().int().positive().max(200) }), z.array(runSummary)),
  'runs.ofSerial': define(z.object({ serial: text }), z.array(runSummary)),
  'law.list': define(nothing, z.array(lawInfo)),
  /** A file of points alone becomes the next revision of the base law when one is named; without one it is only checked. */
  'law.check': define(
    z.object({ name: text, text: z.string().max(2_000_000), baseLawId: text.nullable() }),
    z.discriminatedUnion('kind', [
      z.object({ kind: z.literal('law'), law: lawData }),
      z.object({ kind: z.literal('points'), points: z.number().int(), marks: z.number().int() }),
    ]),
  ),
  /** Writes a law as a file: whole (JSON) or its points and marks (CSV). A file of that name is replaced. */
  'law.write': define(
    z.object({ id: z.string(), revision: z.number().int(), form: z.enum(['json', 'csv']), path }),
    nothing,
  ),
  'law.whereUsed': define(
    z.object({ id: text, revision: z.number().int() }),
    z.object({
      runs: z.number().int(),
      serials: z.number().int(),
      firstStartedAt: z.string().nullable(),
      lastStartedAt: z.string().nullable(),
    }),
  ),
  'law.store': define(z.object({ law: lawData }), nothing),
  'export.write': define(
    z.object({ query: findQuery, what: z.enum(['runs', 'readings', 'points', 'checks', 'json']), path }),
    z.object({ runs: z.number().int(), bytes: z.number().int() }),
  ),
  'report.write': define(
    z.object({ batch: text, path, title: text }),
    z.object({ runs: z.number().int(), nextSentence: z.string() }),
  ),
  'archive.backup': define(z.object({ path }), z.object({ runs: z.number().int(), bytes: z.number().int() })),
  /**
   * Measures a piece to be trimmed, for the first time or again after cuts; sort, plan or end follow by themselves and come with
   * the event `trimPiece`. A piece whose cuts are asked for or done can only be measured.
   */
  'trim.start': define(trimRequest, z.object({ runId: z.string(), attempt: z.number().int() })),
  /** Resolves when the measurement and what follows from it are on disk. */
  'trim.wait': define(z.object({ runId: text }), trimPiece),
  /** Null = never trimmed. */
  'trim.piece': define(z.object({ serial: text }), trimPiece.nullable()),
  /** Takes motor power away and asks for the planned cuts: from now on film may be missing. */
  'trim.askCuts': define(z.object({ serial: text, operator: name }), trimPiece),
  /** The operator made these cuts; on disk when answered. `all` = all that are left. */
  'trim.cutsDone': define(
    z.object({
      serial: text,
      operator: name,
      cuts: z.union([z.literal('all'), z.array(z.number().int().positive()).min(1).max(500)]),
    }),
    trimPiece,
  ),
  /** The operator gives the piece up. */
  'trim.end': define(z.object({ serial: text, operator: name, reason: name }), trimPiece),
  'trim.batch': define(z.object({ batch: text }), trimBatch),
  /** Before, after and cuts of every piece of a batch, as one HTML file. */
  'trim.report': define(z.object({ batch: text, path, title: text }), z.object({ pieces: z.number().int() })),
  /** A new tool, blade or setting under the same name: nothing learnt of it holds any more. */
  'trim.renewTool': define(z.object({ toolId: toolName, toolKind, operator: name, reason: name }), nothing),
  /** Parks the wiper beside the cell and streams its resistance as event `needle`, until stop, interlock or lost line. */
  'trim.needle.start': define(
    z.object({ serial: text, operator: name, cellIndex: z.number().int().nonnegative() }),
    nothing,
  ),
  /** Fine when no needle is open. */
  'trim.needle.stop': define(nothing, nothing),
  'trim.settings.read': define(nothing, trimSettings),
  'trim.settings.write': define(trimSettings.partial(), trimSettings),
  /** Cuts the fader in the virtual clamp as the virtual tool really cuts. */
  'virtual.applyCuts': define(
    z.object({ cuts: z.array(cut).max(500), toolId: toolName }),
    z.object({ applied: z.number().int() }),
  ),
  /**
   * A virtual hand that cuts steadily deeper at one place while the needle is watched; `null` takes the tool away. It keeps the
   * pace of the clock on the wall, however fast the rig runs: a person has to react to it.
   */
  'virtual.cutLive': define(
    z.object({
      cut: z
        .object({
          cellIndex: z.number().int().nonnegative(),
          side: z.enum(['left', 'right']),
          fromMm: z.number(),
          toMm: z.number(),
          depthMmPerS: z.number().positive().max(10),
          toolId: toolName,
        })
        .nullable(),
    }),
    nothing,
  ),
  doctor: define(nothing, z.array(doctorLine)),
} as const;

export type Commands = typeof commands;
export type CommandName = keyof Commands;
export type CommandInput<N extends CommandName> = z.infer<Commands[N]['input']>;
export type CommandOutput<N extends CommandName> = z.infer<Commands[N]['output']>;
export type MeasureRequest = z.infer<typeof measureRequest>;
export type TrimRequest = z.infer<typeof trimRequest>;
export type VirtualRequest = z.infer<typeof virtualRequest>;
export type FindQuery = z.infer<typeof findQuery>;
export type PortInfo = z.infer<typeof portInfo>;
export type DividerReading = z.infer<typeof dividerReading>;
export type LiveReading = z.infer<typeof liveReading>;
export type LinkStatistics = z.infer<typeof linkStatistics>;
export type DoctorLine = z.infer<typeof doctorLine>;
