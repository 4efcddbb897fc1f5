import type { Random } from '../../src/fader/random.ts';
import type { RigParameters } from './parameters-schema.ts';
import type { RigTraits } from './traits.ts';

/** Calibration of the rig as plain data, in the form the station keeps (see docs/calibration.md). */
export interface Certificate {
  readonly id: string;
  readonly rigSerial: string;
  readonly madeAt: string;
  readonly dueAt: string;
  readonly source: 'virtual';
  readonly madeBy: string;
  readonly position: {
    readonly scale: number;
    readonly zeroMm: number;
    readonly backlashMm: number;
    readonly uZeroMm: number;
    readonly uBacklashMm: number;
    readonly uScale: number;
    readonly screwAmplitudeMm: number;
    readonly uHomeMm: number;
  };
  readonly meter: {
    readonly offsetCounts: number;
    readonly trackOffsetCounts: number;
    readonly gain: number;
    readonly uOffsetCounts: number;
    readonly uGain: number;
    readonly nonLinearity: number;
    readonly seriesReferenceOhm: number;
    readonly uSeriesReference: number;
  };
}

/**
 * An honest calibration: the truth plus one error drawn from each uncertainty it states. `random` fixes the errors,
 * so the same rig always shows the same certificate.
 */
export function certify(
  traits: RigTraits,
  parameters: RigParameters,
  madeAt: string,
  dueAt: string,
  random: Random,
): Certificate {
  const { afterCalibration: after, carriage, meter, temperature } = parameters;
  const countsPerUv = meter.fullScaleCounts / (traits.excitationV * 1e6);
  const uOffsetCounts = after.uOffsetUv * countsPerUv;
  // Between calibration and use the bench may drift anywhere in its range; both channels drift on their own.
  const driftU = (meter.gainDriftSdPerK * Math.SQRT2 * temperature.halfRangeK) / Math.sqrt(3);
  const gain = (1 + traits.wiper.gainError) / (1 + traits.track.gainError);
  // The reference was found by measuring a known resistor of the same size with this meter, so it also takes up the
  // track channel's gain: at equal resistors a gain error g looks like a reference off by -2 g.
  const effectiveOhm = traits.seriesReferenceOhm * (1 - 2 * traits.track.gainError);
  return {
    id: `cal-${traits.serial}-${madeAt}`,
    rigSerial: traits.serial,
    madeAt,
    dueAt,
    source: 'virtual',
    madeBy: 'VR',
    position: {
      scale: 1 + traits.scaleError + random.normal(0, after.uScale),
      zeroMm: -traits.datumMm + random.normal(0, after.uZeroMm),
      backlashMm: Math.max(0, traits.backlashMm + random.normal(0, after.uBacklashMm)),
      uZeroMm: after.uZeroMm,
      uBacklashMm: after.uBacklashMm,
      uScale: after.uScale,
      screwAmplitudeMm: carriage.screwErrorMm,
      uHomeMm: carriage.homeSdMm,
    },
    meter: {
      offsetCounts: traits.wiper.offsetUv * countsPerUv + random.normal(0, uOffsetCounts),
      trackOffsetCounts: traits.track.offsetUv * countsPerUv + random.normal(0, uOffsetCounts),
      gain: gain * (1 + random.normal(0, after.uGain)),
      uOffsetCounts,
      uGain: Math.hypot(after.uGain, driftU),
      nonLinearity: meter.nonLinearity,
      seriesReferenceOhm: effectiveOhm * (1 + random.normal(0, after.uSeriesReference)),
      uSeriesReference: after.uSeriesReference,
    },
  };
}
