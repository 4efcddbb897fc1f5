/** What a kind of fader is made of: the artwork, before any spread. Lengths in mm from the closed stop. */
export interface PartParameters {
  /** Mechanical travel, stop to stop. */
  readonly travelMm: number;
  readonly nominalOhm: number;
  readonly printedWidthMm: number;
  /** Swath of the wiper fingers in the middle of the track; cutting is allowed outside it. */
  readonly fingerSwathMm: number;
  /** Joints between the three inks. */
  readonly jointMm: readonly [number, number];
  /** Where the conductors end and film begins. */
  readonly closedEdgeMm: number;
  readonly openEdgeMm: number;
  readonly fingers: number;
  /** Range of the resistance between conductor and terminal at each end; the artwork allows for its middle at the closed end. */
  readonly endOhm: readonly [number, number];
  /** Its resistance spreads relative to a printed track's; a chain of discrete resistors is far better than ink. */
  readonly spreadScale: number;
}

/** How printed tracks differ. Relative standard deviations unless the name says otherwise. */
export interface TrackSpread {
  /** Mean of the raw print relative to nominal: 0.85 = printed 15 % low. */
  readonly printLevel: number;
  readonly batchSd: number;
  readonly withinSheetSd: number;
  readonly slopeSdPer100Mm: number;
  readonly rippleSd: number;
  readonly rippleCorrelationMm: readonly [number, number];
  readonly inkSd: number;
  readonly jointSdMm: number;
  readonly edgeHalfRangeMm: number;
  readonly commonLeadOhm: readonly [number, number];
  /** Relative change of resistance for 1 % more powder and for 10 s more cure. */
  readonly perPercentPowder: number;
  readonly perTenSecondsCure: number;
  readonly powderSdPercent: number;
  readonly cureSdSeconds: number;
  readonly travelSdMm: number;
  readonly tcrPerK: number;
  readonly inkTcrHalfRangePerK: number;
}

/** How wipers and slides differ. */
export interface WiperSpread {
  readonly fingerOhm: number;
  readonly fingerLogSd: number;
  readonly placeSdMm: number;
  readonly filmMax: number;
  readonly strokesToClean: readonly [number, number];
  readonly scatterSd: number;
  readonly scatterCorrelationMm: number;
  /** Share of the scatter's variance that returns at the same place. */
  readonly scatterRepeatableShare: number;
  readonly dayToDaySd: number;
  readonly frictionN: number;
  readonly frictionRipple: number;
  readonly frictionSd: number;
  readonly playMm: readonly [number, number];
}

/** Shares of the spreads that are left in a track after it was trimmed and passed on. */
export interface FinishShares {
  /** Mean level relative to nominal. */
  readonly level: number;
  readonly batch: number;
  readonly withinSheet: number;
  readonly slope: number;
  readonly ripple: number;
  readonly ink: number;
  readonly joint: number;
}

/**
 * `raw` = as printed, before any trimming; `delivered` = what a shop sends out; `trimming` = as printed, with the wider
 * spread of `TrimmingSpread`, so that hardly a track follows its law untrimmed.
 */
export type Finish = 'raw' | 'delivered' | 'trimming';

/** What differs from `TrackSpread` in tracks printed for trimming. */
export type TrimmingSpread = Pick<TrackSpread, 'rippleSd'>;

/** The ranges from which the severity of each seeded fault is drawn, evenly. */
export interface FaultRanges {
  readonly wrongInkFactor: readonly [number, number];
  readonly slopeFraction: readonly [number, number];
  readonly bumpLengthMm: readonly [number, number];
  readonly bumpFactor: readonly [number, number];
  readonly overTrimLengthMm: readonly [number, number];
  readonly overTrimFactor: readonly [number, number];
  readonly endContactOhm: readonly [number, number];
  readonly filmFactor: readonly [number, number];
  readonly dirtLengthMm: readonly [number, number];
  readonly dirtLogOhm: readonly [number, number];
  readonly dirtVanishChance: number;
  readonly wornLengthMm: readonly [number, number];
  readonly wornScatterFactor: readonly [number, number];
  readonly wornTrackFraction: readonly [number, number];
  readonly liftingPerMm: readonly [number, number];
  readonly liftingLengthMm: readonly [number, number];
  readonly lostFingers: readonly [number, number];
  readonly frictionRippleFactor: number;
  readonly stickSlipMm: readonly [number, number];
  readonly playMm: readonly [number, number];
  readonly clampShiftMm: readonly [number, number];
  readonly clampGiveMm: readonly [number, number];
}

export interface SpecimenParameters {
  readonly track: TrackSpread;
  readonly wiper: WiperSpread;
  readonly delivered: FinishShares;
  readonly trimming: TrimmingSpread;
  readonly faults: FaultRanges;
}
