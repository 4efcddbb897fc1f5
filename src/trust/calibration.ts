/**
 * A calibration: how rig numbers become travel, ratio and ohm, and how well that is known.
 * Never changed; a newer one replaces it as the active one.
 */
export interface Calibration {
  /** Unique, e.g. `cal-VR0001-2026-11-25T10:00:00Z`. */
  readonly id: string;
  readonly rigSerial: string;
  /** ISO 8601 UTC. */
  readonly madeAt: string;
  /** ISO 8601 UTC; after this the station is overdue and every result is void. */
  readonly dueAt: string;
  /** How it was made. */
  readonly source: 'certificate' | 'gauges' | 'virtual';
  readonly madeBy: string;
  readonly position: {
    /** travelMm = (positionUm / 1000) * scale + zeroMm, then the backlash share of the direction. */
    readonly scale: number;
    readonly zeroMm: number;
    /** Carriage backlash; half is added moving down and half taken moving up. */
    readonly backlashMm: number;
    /** Standard uncertainties, mm (zero, backlash) and mm per mm (scale). */
    readonly uZeroMm: number;
    readonly uBacklashMm: number;
    readonly uScale: number;
    /** Lead-screw periodic error amplitude, mm (not corrected). */
    readonly screwAmplitudeMm: number;
    /** Standard deviation of homing, mm. */
    readonly uHomeMm: number;
  };
  readonly meter: {
    /** ratio = (wiperCounts - offsetCounts) / ((trackCounts - trackOffsetCounts) * gain). */
    readonly offsetCounts: number;
    readonly trackOffsetCounts: number;
    readonly gain: number;
    readonly uOffsetCounts: number;
    readonly uGain: number;
    /** Non-linearity as a fraction of full scale (half width). */
    readonly nonLinearity: number;
    /** True value and relative standard uncertainty of the series reference resistor. */
    readonly seriesReferenceOhm: number;
    readonly uSeriesReference: number;
  };
}
