/** What a rig reports about itself, in words and in the units a person thinks in. Pure. */

interface Wording {
  readonly name: string;
  readonly unit: string;
  /** The reported number over this is the number in `unit`. */
  readonly by: number;
  readonly places: number;
}

const wordings: Readonly<Record<string, Wording>> = {
  travelMinUm: { name: 'Travel from', unit: 'mm', by: 1000, places: 1 },
  travelMaxUm: { name: 'Travel to', unit: 'mm', by: 1000, places: 1 },
  stepsPerMm: { name: 'Steps', unit: 'per mm', by: 1, places: 0 },
  speedMaxUmPerS: { name: 'Top speed', unit: 'mm/s', by: 1000, places: 0 },
  accelMaxMmPerS2: { name: 'Top acceleration', unit: 'mm/s²', by: 1, places: 0 },
  jerkMaxMmPerS3: { name: 'Top jerk', unit: 'mm/s³', by: 1, places: 0 },
  creepSpeedMaxUmPerS: { name: 'Speed, guard open', unit: 'mm/s', by: 1000, places: 0 },
  homeSpeedUmPerS: { name: 'Speed, homing', unit: 'mm/s', by: 1000, places: 0 },
  resonanceMilliHz: { name: 'Resonance', unit: 'Hz', by: 1000, places: 1 },
  dampingPermille: { name: 'Damping', unit: '%', by: 10, places: 1 },
  integrationMinUs: { name: 'Shortest integration', unit: 'ms', by: 1000, places: 3 },
  integrationMaxUs: { name: 'Longest integration', unit: 'ms', by: 1000, places: 0 },
  conversionsMax: { name: 'Conversions at once', unit: '', by: 1, places: 0 },
  samplePeriodMinUs: { name: 'Shortest sample period', unit: 'ms', by: 1000, places: 3 },
  fullScaleCounts: { name: 'Full scale', unit: 'counts', by: 1, places: 0 },
  seriesReferenceMilliohm: { name: 'Series reference', unit: 'Ω', by: 1000, places: 3 },
  sourceMilliohm: { name: 'Source resistance', unit: 'Ω', by: 1000, places: 3 },
  meterInputKiloohm: { name: 'Meter input', unit: 'MΩ', by: 1000, places: 0 },
  watchdogUs: { name: 'Stops when silent', unit: 'ms', by: 1000, places: 0 },
};

/** One limit as a row; one that this program has no word for keeps the rig's own. */
export function limitRow(
  key: string,
  value: number,
  spell: (value: number, places: number) => string,
): { readonly name: string; readonly value: string } {
  const wording = wordings[key];
  if (wording === undefined) return { name: key, value: String(value) };
  const { name, unit, by, places } = wording;
  return { name, value: `${spell(value / by, places)} ${unit}`.trim() };
}
