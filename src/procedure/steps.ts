/**
 * What a procedure may ask for, one step at a time. Steps are plain data: they can be listed, timed and checked
 * against the rig's limits before anything moves; only the engine turns them into motion.
 */
import type {
  Approach,
  GlideOrder,
  GlideResult,
  MeterOrder,
  MotionOrder,
  RawReading,
  RawSample,
  RigStatus,
  VisitOrder,
} from './rig-port.ts';

/** What a reading is for. */
export type ReadingPurpose = 'point' | 'closed' | 'open' | 'totalResistance';
export type ReadingDirection = Approach | 'still';
export type TracePurpose = 'closedEnd' | 'openEnd';

interface StepBase {
  /** What is being done, in words for the screen. */
  readonly label: string;
  /** How long it should take, microseconds. 0 for steps that wait for a person. */
  readonly expectedUs: number;
}

export interface ReadingTag {
  readonly purpose: ReadingPurpose;
  /** Index into the law's points for `point`, else null. */
  readonly pointIndex: number | null;
  /** Travel asked for, mm from the closed end. */
  readonly targetMm: number;
}

export interface StatusStep extends StepBase {
  readonly kind: 'status';
}
export interface PowerStep extends StepBase {
  readonly kind: 'power';
  readonly on: boolean;
}
export interface HomeStep extends StepBase {
  readonly kind: 'home';
}
/** Move without a reading that counts. */
export interface MoveStep extends StepBase {
  readonly kind: 'move';
  readonly order: MotionOrder;
  readonly approach: Approach;
}
export interface VisitStep extends StepBase {
  readonly kind: 'visit';
  readonly order: VisitOrder;
  readonly tag: ReadingTag;
}
export interface SenseStep extends StepBase {
  readonly kind: 'sense';
  readonly order: MeterOrder;
  readonly tag: ReadingTag;
}
export interface OhmsStep extends StepBase {
  readonly kind: 'ohms';
  readonly order: MeterOrder;
  readonly tag: ReadingTag;
}
export interface GlideStep extends StepBase {
  readonly kind: 'glide';
  readonly order: GlideOrder;
  readonly purpose: TracePurpose;
}
export interface ParkStep extends StepBase {
  readonly kind: 'park';
}
/** Wait for the operator: go on, or end the run. */
export interface AskStep extends StepBase {
  readonly kind: 'ask';
  readonly question: string;
}
export interface NoteStep extends StepBase {
  readonly kind: 'note';
  readonly text: string;
}

export type Step =
  | StatusStep
  | PowerStep
  | HomeStep
  | MoveStep
  | VisitStep
  | SenseStep
  | OhmsStep
  | GlideStep
  | ParkStep
  | AskStep
  | NoteStep;

/** What the engine hands back for a step. */
export type StepResult =
  | { readonly kind: 'status'; readonly status: RigStatus }
  | { readonly kind: 'reading'; readonly reading: RawReading }
  | { readonly kind: 'glide'; readonly result: GlideResult; readonly samples: readonly RawSample[] }
  | { readonly kind: 'answer'; readonly goOn: boolean }
  | { readonly kind: 'done' };

/** A reading as the run keeps it: raw numbers, and where and why they were taken. */
export interface ProcedureReading extends ReadingTag {
  readonly sequence: number;
  readonly direction: ReadingDirection;
  readonly positionUm: number;
  readonly rigClockUs: number;
  readonly integrationUs: number;
  readonly conversions: number;
  readonly wiperCounts: number;
  readonly wiperSdCounts: number | null;
  readonly trackCounts: number;
  readonly overRange: boolean;
}

/** A glide as the run keeps it; jumps in `counter` are gaps. */
export interface ProcedureTrace {
  readonly purpose: TracePurpose;
  readonly samplePeriodUs: number;
  readonly trackCounts: number;
  readonly samplesSent: number;
  readonly samples: readonly RawSample[];
}

export type StepGenerator = Generator<Step, void, StepResult>;

/**
 * A procedure: its plan (every step it means to take, in order) and the generator that takes them. The generator
 * yields the very objects of the plan; steps that are not in the plan (asking the operator, looking again) may come
 * between them and do not count as progress.
 */
export interface Procedure {
  readonly name: string;
  readonly plan: readonly Step[];
  readonly steps: () => StepGenerator;
}

/** True for steps that move the carriage and so need a fresh interlock reading. */
export function movesCarriage(step: Step): boolean {
  return (
    step.kind === 'home' ||
    step.kind === 'move' ||
    step.kind === 'visit' ||
    step.kind === 'glide' ||
    step.kind === 'park'
  );
}

/** A step's reading as the run keeps it; null when the step was not one that reads. */
export function asReading(step: Step, result: StepResult, sequence: number): ProcedureReading | null {
  if (result.kind !== 'reading') return null;
  if (step.kind !== 'visit' && step.kind !== 'sense' && step.kind !== 'ohms') return null;
  const { reading } = result;
  return {
    sequence,
    ...step.tag,
    direction: step.kind === 'visit' ? step.order.approach : 'still',
    positionUm: reading.positionUm,
    rigClockUs: reading.rigClockUs,
    integrationUs: step.order.integrationUs,
    conversions: reading.conversions,
    wiperCounts: reading.wiperCounts,
    wiperSdCounts: reading.wiperSdCounts,
    trackCounts: reading.trackCounts,
    overRange: reading.overRange,
  };
}
