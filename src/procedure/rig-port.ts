/**
 * The one small hardware interface: what a procedure may ask of a rig. Implemented by `src/rig` over a
 * serial line and by fakes in tests. Positions are the rig's own scale in micrometres (before any
 * calibration), times are microseconds of the rig's clock, meter values are converter counts.
 *
 * Every method rejects with a typed error of `src/rig/errors.ts`-like shape (`code` string): a refusal of the
 * rig (`refused`), a lost line (`lineLost`), a time-out (`noAnswer`) or `cancelled` when the signal fired.
 * A rejected motion never leaves the carriage moving: the rig was told to halt or has stopped by itself.
 */

export interface RigIdentity {
  /** Model word, e.g. `bench-1`. */
  readonly model: string;
  readonly serial: string;
  readonly firmware: string;
  readonly protocol: number;
  /** True when the rig says it is a simulation: marked on every result and screen. */
  readonly isVirtual: boolean;
}

/** What the rig says it can do; learnt at connect. All integers as on the wire, units in the names. */
export interface RigLimits {
  readonly travelMinUm: number;
  readonly travelMaxUm: number;
  readonly stepsPerMm: number;
  readonly speedMaxUmPerS: number;
  readonly accelMaxMmPerS2: number;
  readonly jerkMaxMmPerS3: number;
  /** Fastest speed allowed with the guard open. */
  readonly creepSpeedMaxUmPerS: number;
  readonly homeSpeedUmPerS: number;
  /** Resonance and damping of carriage and knob, for settling. */
  readonly resonanceMilliHz: number;
  readonly dampingPermille: number;
  readonly integrationMinUs: number;
  readonly integrationMaxUs: number;
  readonly conversionsMax: number;
  /** Smallest sample period of a glide on this line. */
  readonly samplePeriodMinUs: number;
  /** Converter full scale: counts at ratio 1 of the reference. */
  readonly fullScaleCounts: number;
  /** Resistor in series with the track for `ohms`, milliohm. */
  readonly seriesReferenceMilliohm: number;
  /** Source resistance of the normal feed, milliohm. */
  readonly sourceMilliohm: number;
  /** Meter input resistance, kilo-ohm. */
  readonly meterInputKiloohm: number;
  readonly watchdogUs: number;
}

export interface Interlocks {
  readonly guardClosed: boolean;
  readonly emergencyStopReleased: boolean;
  readonly clampClosed: boolean;
}

export type MotionState = 'unpowered' | 'unhomed' | 'still' | 'moving' | 'stopped';

export interface RigStatus {
  readonly positionUm: number;
  readonly rigClockUs: number;
  readonly motion: MotionState;
  readonly interlocks: Interlocks;
}

/** Side from which the final position is reached; `up` = from the closed end towards the open end. */
export type Approach = 'up' | 'down';

export interface MeterOrder {
  /** Integration time of one conversion. */
  readonly integrationUs: number;
  readonly conversions: number;
}

export interface MotionOrder {
  readonly targetUm: number;
  readonly speedUmPerS: number;
  readonly accelMmPerS2: number;
  /** 0 = no jerk limit. */
  readonly jerkMmPerS3: number;
}

/** Move, settle, read: one round trip. */
export interface VisitOrder extends MotionOrder, MeterOrder {
  readonly approach: Approach;
  readonly dwellUs: number;
}

/** One raw reading: statistics of N simultaneous conversions of wiper and track voltage. */
export interface RawReading {
  readonly positionUm: number;
  readonly rigClockUs: number;
  readonly conversions: number;
  /** Mean and standard deviation (N-1) of the wiper channel, counts. Standard deviation is null for N = 1. */
  readonly wiperCounts: number;
  readonly wiperSdCounts: number | null;
  /** Mean of the track (sense) channel, counts. */
  readonly trackCounts: number;
  /** The converter was over range or its spread saturated: the reading may be stored, never judged. */
  readonly overRange: boolean;
}

export interface GlideOrder extends MotionOrder {
  readonly samplePeriodUs: number;
}

/** One sample of a glide. `counter` runs 0, 1, 2 ... within the glide; a jump is a gap. */
export interface RawSample {
  readonly counter: number;
  readonly positionUm: number;
  readonly rigClockUs: number;
  readonly wiperCounts: number;
}

export interface GlideResult {
  readonly positionUm: number;
  readonly rigClockUs: number;
  /** Samples the rig sent; compare with those received. */
  readonly samplesSent: number;
  readonly samplesReceived: number;
  /** Mean of the track channel over the glide, counts. */
  readonly trackCounts: number;
}

export type RigEvent =
  | { readonly kind: 'interlocks'; readonly interlocks: Interlocks }
  | { readonly kind: 'stall'; readonly positionUm: number }
  | { readonly kind: 'silenceStop'; readonly positionUm: number }
  | { readonly kind: 'restarted' }
  /** `reason` is for the log: it may be the system's own words. */
  | { readonly kind: 'lineLost'; readonly port: string; readonly reason: string }
  | { readonly kind: 'lineBack' };

export interface RigPort {
  readonly identity: RigIdentity;
  readonly limits: RigLimits;
  /** Fresh state; also the interlock reading that must precede motion. */
  status(signal?: AbortSignal): Promise<RigStatus>;
  power(on: boolean, signal?: AbortSignal): Promise<void>;
  /** Low-force search of the home switch; ends at rig position 0. */
  home(signal?: AbortSignal): Promise<RigStatus>;
  visit(order: VisitOrder, signal?: AbortSignal): Promise<RawReading>;
  /** Read where the carriage stands. */
  sense(order: MeterOrder, signal?: AbortSignal): Promise<RawReading>;
  /** As `sense`, with the series reference resistor in the feed: total resistance from the track channel. */
  ohms(order: MeterOrder, signal?: AbortSignal): Promise<RawReading>;
  /** Move steadily while streaming samples in batches. */
  glide(
    order: GlideOrder,
    onSamples: (batch: readonly RawSample[]) => void,
    signal?: AbortSignal,
  ): Promise<GlideResult>;
  /** Slowly to the loading position, motor power off. */
  park(signal?: AbortSignal): Promise<RigStatus>;
  /** Stop now. Idempotent; resolves when the rig confirms standing still. Not an emergency stop. */
  halt(): Promise<RigStatus>;
  /** Returns the function that ends the subscription. */
  onEvent(listener: (event: RigEvent) => void): () => void;
}
