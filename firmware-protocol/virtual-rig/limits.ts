import type { WireLimits } from '../codec/limits.ts';
import type { RigParameters } from './parameters-schema.ts';

/** What this rig says it can do. A paced line cannot carry fast samples, so the rig does not offer them. */
export function limitsOf(parameters: RigParameters, paced: boolean): WireLimits {
  const { carriage, meter, line } = parameters;
  return {
    travelMinUm: 0,
    travelMaxUm: carriage.travelMaxUm,
    stepsPerMm: carriage.stepsPerMm,
    speedMaxUmPerS: carriage.speedMaxUmPerS,
    accelMaxMmPerS2: carriage.accelMaxMmPerS2,
    jerkMaxMmPerS3: carriage.jerkMaxMmPerS3,
    creepSpeedMaxUmPerS: carriage.creepSpeedMaxUmPerS,
    homeSpeedUmPerS: carriage.homeSpeedUmPerS,
    resonanceMilliHz: Math.round(carriage.resonanceHz * 1000),
    dampingPermille: Math.round(carriage.damping * 1000),
    integrationMinUs: meter.integrationMinUs,
    integrationMaxUs: meter.integrationMaxUs,
    conversionsMax: meter.conversionsMax,
    samplePeriodMinUs: paced ? line.samplePeriodMinUsAtBaud : meter.samplePeriodMinUs,
    fullScaleCounts: meter.fullScaleCounts,
    seriesReferenceMilliohm: Math.round(meter.seriesReferenceOhm * 1000),
    sourceMilliohm: Math.round(meter.sourceOhm * 1000),
    meterInputKiloohm: Math.round(meter.inputOhm / 1000),
    watchdogUs: parameters.watchdogUs,
  };
}
