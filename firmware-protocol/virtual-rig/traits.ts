import type { Random } from '../../src/fader/random.ts';
import type { RigParameters } from './parameters-schema.ts';

/** What is true of this one rig and nobody at the station knows exactly. */
export interface RigTraits {
  readonly serial: string;
  /** Rig position of the fader's closed stop, mm. */
  readonly datumMm: number;
  /** True carriage millimetres per counted millimetre, minus one. */
  readonly scaleError: number;
  readonly backlashMm: number;
  readonly screwErrorMm: number;
  readonly screwPeriodMm: number;
  readonly screwPhase: number;
  readonly wiper: ChannelTraits;
  readonly track: ChannelTraits;
  readonly excitationV: number;
  readonly seriesReferenceOhm: number;
  readonly mainsHz: number;
  readonly humPhase: readonly number[];
  /** Temperature at the start and its drift. */
  readonly startC: number;
  readonly driftKPerH: number;
}

export interface ChannelTraits {
  readonly gainError: number;
  readonly gainDriftPerK: number;
  readonly offsetUv: number;
  /** Signed amplitude of the cubic non-linearity, fraction of full scale. */
  readonly nonLinearity: number;
}

export function drawTraits(parameters: RigParameters, random: Random): RigTraits {
  const { carriage, meter, temperature } = parameters;
  const channel = (): ChannelTraits => ({
    gainError: random.bounded(0, meter.gainErrorSd),
    gainDriftPerK: random.bounded(0, meter.gainDriftSdPerK),
    offsetUv: random.bounded(0, meter.offsetSdUv),
    nonLinearity: random.uniform(-meter.nonLinearity, meter.nonLinearity),
  });
  const number = random.integer(1, 9999);
  return {
    serial: `VR${String(number).padStart(4, '0')}`,
    datumMm: carriage.datumMm + random.uniform(-carriage.datumHalfRangeMm, carriage.datumHalfRangeMm),
    scaleError: random.bounded(0, carriage.scaleErrorSd),
    backlashMm: carriage.backlashMm,
    screwErrorMm: carriage.screwErrorMm,
    screwPeriodMm: carriage.screwPeriodMm,
    screwPhase: random.uniform(0, 2 * Math.PI),
    wiper: channel(),
    track: channel(),
    excitationV: meter.excitationV * (1 + random.uniform(-meter.excitationHalfRange, meter.excitationHalfRange)),
    seriesReferenceOhm:
      meter.seriesReferenceOhm * (1 + random.uniform(-meter.seriesReferenceHalfRange, meter.seriesReferenceHalfRange)),
    mainsHz: meter.mainsHz + random.bounded(0, meter.mainsSdHz),
    humPhase: [0, ...meter.humHarmonics].map(() => random.uniform(0, 2 * Math.PI)),
    startC: temperature.meanC + random.uniform(-temperature.halfRangeK, temperature.halfRangeK),
    driftKPerH: random.uniform(-temperature.driftKPerH, temperature.driftKPerH),
  };
}

/** Faults of the station, for comparison with those of faders. */
export type StationFault = 'meterGain' | 'meterOffset' | 'positionScale' | 'lostSteps';
export const stationFaults: readonly StationFault[] = ['meterGain', 'meterOffset', 'positionScale', 'lostSteps'];
