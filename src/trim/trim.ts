/**
 * Trimming: taking film away beside the wiper's path until the track follows its law. Plain data shared by planner,
 * station, archive and screens. Material can only be taken away, which only raises resistance.
 */

/** A stretch of track between two taps (law points, or an electrical end). Ordered from the closed end. */
export interface TrackCell {
  readonly index: number;
  readonly fromMm: number;
  readonly toMm: number;
  /** Resistance now, ohm, and its standard uncertainty. */
  readonly ohm: number;
  readonly uOhm: number;
}

/** A tap: where the ratio was measured. `pointIndex` = index into the law's points. */
export interface TrackTap {
  readonly pointIndex: number;
  readonly travelMm: number;
  /** Unloaded ratio 0..1 and its standard uncertainty. */
  readonly ratio: number;
  readonly uRatio: number;
}

export interface TrackProfile {
  /** taps.length + 1 cells: closed end .. first tap, between taps, last tap .. open end. */
  readonly cells: readonly TrackCell[];
  readonly taps: readonly TrackTap[];
  readonly totalOhm: number;
  readonly uTotalOhm: number;
  /** Ratio on the closed and on the open stop, taken at the unfavourable end of its U; absent = not known. */
  readonly closedRatio?: number;
  readonly openRatio?: number;
}

/** What may be cut, from the part. Lengths in mm. */
export interface CuttingRules {
  /** Printed width of the film. */
  readonly widthMm: number;
  /** Width of the fingers' swath in the middle, never cut. */
  readonly swathMm: number;
  /** No cut nearer than this to a conductor edge. */
  readonly endMarginMm: number;
  readonly closedEdgeMm: number;
  readonly openEdgeMm: number;
  /** Smallest depth the tool can set. */
  readonly depthStepMm: number;
  /** Standard deviation of the tool's place along the track. */
  readonly placeSdMm: number;
  /** A cell may at most grow by this fraction of its resistance in all cuts together. */
  readonly mostGrowth: number;
}

/** The two sides of the film beside the swath. */
export type CutSide = 'left' | 'right';

export type Cut =
  /** Takes `depthMm` off one edge along a length. */
  | {
      readonly kind: 'shave';
      readonly number: number;
      readonly cellIndex: number;
      readonly side: CutSide;
      readonly fromMm: number;
      readonly toMm: number;
      readonly depthMm: number;
    }
  /** A thin cut of `depthMm` from one edge at one place. */
  | {
      readonly kind: 'plunge';
      readonly number: number;
      readonly cellIndex: number;
      readonly side: CutSide;
      readonly atMm: number;
      readonly depthMm: number;
    };

/** What is believed of a tool's gain (achieved over predicted added resistance), a normal belief. */
export interface ToolBelief {
  readonly mean: number;
  readonly sd: number;
  /** Scatter from cut to cut, relative. */
  readonly cutSd: number;
  /** Cuts it rests on; 0 = only the prior. */
  readonly cuts: number;
}

export interface PlannedPoint {
  readonly pointIndex: number;
  readonly travelMm: number;
  readonly deviationBeforeDb: number;
  /** Expected deviation after this pass, and its standard deviation (gain, scatter, measurement). */
  readonly deviationAfterDb: number;
  readonly sdAfterDb: number;
}

/** One pass: cuts in order, what they should do. */
export interface TrimPlan {
  readonly cuts: readonly Cut[];
  /** Resistance the whole plan wants added per cell, ohm; a pass takes `share` of it. */
  readonly addedOhm: readonly number[];
  readonly share: number;
  readonly points: readonly PlannedPoint[];
  readonly totalAfterOhm: number;
  /** Margin reached by the whole plan, as a share of the band left after U (0..1). */
  readonly margin: number;
  /** Film taken by this pass, mm2. */
  readonly removalMm2: number;
  readonly passesExpected: number;
  /** Chance that this pass makes the piece impossible to bring in. */
  readonly overCutRisk: number;
}

export type HopelessCode =
  | 'totalTooHigh'
  | 'totalTooLow'
  | 'cellTooResistive'
  | 'wrongTaper'
  | 'deadZone'
  | 'notMeasured';

export interface HopelessReason {
  readonly code: HopelessCode;
  readonly cellIndex: number | null;
  readonly pointIndex: number | null;
  /** By how much it misses, dB or ohm, for a person. */
  readonly sentence: string;
}

export type TrimSort =
  | { readonly word: 'conforms' }
  | { readonly word: 'trimmable'; readonly plan: TrimPlan }
  | { readonly word: 'hopeless'; readonly reasons: readonly HopelessReason[] };
