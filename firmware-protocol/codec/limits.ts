/** What a rig can do, as `limits page=N` reports it: short keys on the wire, full names in the program. */
import { WireFormatError, WireLimitsError } from './errors.ts';
import { isWireInteger } from './line.ts';

/** Limits of a rig, integers with the unit in the name. The same names as the station's own interface. */
export interface WireLimits {
  readonly travelMinUm: number;
  readonly travelMaxUm: number;
  readonly stepsPerMm: number;
  readonly speedMaxUmPerS: number;
  readonly accelMaxMmPerS2: number;
  readonly jerkMaxMmPerS3: number;
  readonly creepSpeedMaxUmPerS: number;
  readonly homeSpeedUmPerS: number;
  readonly resonanceMilliHz: number;
  readonly dampingPermille: number;
  readonly integrationMinUs: number;
  readonly integrationMaxUs: number;
  readonly conversionsMax: number;
  readonly samplePeriodMinUs: number;
  readonly fullScaleCounts: number;
  readonly seriesReferenceMilliohm: number;
  readonly sourceMilliohm: number;
  readonly meterInputKiloohm: number;
  readonly watchdogUs: number;
}

/** Wire key of each limit, in page order; five to a page keeps a page of ten-digit values under 96 bytes. */
export const limitKeys: readonly (readonly [key: string, name: keyof WireLimits])[] = [
  ['xl', 'travelMinUm'],
  ['xh', 'travelMaxUm'],
  ['st', 'stepsPerMm'],
  ['vm', 'speedMaxUmPerS'],
  ['am', 'accelMaxMmPerS2'],
  ['jm', 'jerkMaxMmPerS3'],
  ['vc', 'creepSpeedMaxUmPerS'],
  ['vh', 'homeSpeedUmPerS'],
  ['fn', 'resonanceMilliHz'],
  ['dn', 'dampingPermille'],
  ['tl', 'integrationMinUs'],
  ['th', 'integrationMaxUs'],
  ['nm', 'conversionsMax'],
  ['el', 'samplePeriodMinUs'],
  ['kf', 'fullScaleCounts'],
  ['rr', 'seriesReferenceMilliohm'],
  ['rs', 'sourceMilliohm'],
  ['ri', 'meterInputKiloohm'],
  ['wd', 'watchdogUs'],
];

export const LIMITS_PER_PAGE = 5;
export const LIMIT_PAGES = Math.ceil(limitKeys.length / LIMITS_PER_PAGE);

/** Fields of one page with `more`; null when there is no such page (the rig then refuses `range at=page`). */
export function encodeLimitsPage(limits: WireLimits, page: number): Record<string, number> | null {
  if (!Number.isInteger(page) || page < 0 || page >= LIMIT_PAGES) return null;
  const fields: Record<string, number> = {};
  for (const [key, name] of limitKeys.slice(page * LIMITS_PER_PAGE, (page + 1) * LIMITS_PER_PAGE)) {
    const value = limits[name];
    if (!isWireInteger(value)) throw new WireFormatError(`The limit ${name} = ${value} is not an integer of the wire.`);
    fields[key] = value;
  }
  fields.more = page < LIMIT_PAGES - 1 ? 1 : 0;
  return fields;
}

/**
 * Limits from all pages together. Unknown keys are ignored; a missing one throws `WireLimitsError`, for no limit has a
 * safe default, and so do values that no rig can have.
 */
export function decodeLimits(pages: readonly Readonly<Record<string, number>>[]): WireLimits {
  const all: Record<string, number> = Object.assign({}, ...pages);
  const missing: string[] = [];
  const limits: Record<string, number> = {};
  for (const [key, name] of limitKeys) {
    const value = all[key];
    if (value === undefined) missing.push(name);
    else limits[name] = value;
  }
  if (missing.length > 0) {
    throw new WireLimitsError(
      `The rig does not report ${missing.join(', ')}. Update its firmware to one that speaks this protocol.`,
      missing,
    );
  }
  const complete = limits as unknown as WireLimits;
  const senseless = limitKeys.map(([, name]) => name).filter((name) => complete[name] < 0 && name !== 'travelMinUm');
  if (complete.travelMaxUm <= complete.travelMinUm) senseless.push('travelMaxUm');
  if (complete.integrationMaxUs < complete.integrationMinUs) senseless.push('integrationMaxUs');
  for (const name of positiveLimits) if (complete[name] === 0) senseless.push(name);
  if (senseless.length > 0) {
    throw new WireLimitsError(
      `The rig reports a senseless ${senseless.join(', ')}. Its firmware or its set-up is faulty.`,
      senseless,
    );
  }
  return complete;
}

/** Limits that the station divides by or multiplies with, so that zero would stand for "cannot work at all". */
const positiveLimits: readonly (keyof WireLimits)[] = [
  'stepsPerMm',
  'speedMaxUmPerS',
  'accelMaxMmPerS2',
  'creepSpeedMaxUmPerS',
  'homeSpeedUmPerS',
  'resonanceMilliHz',
  'dampingPermille',
  'integrationMinUs',
  'conversionsMax',
  'samplePeriodMinUs',
  'fullScaleCounts',
  'seriesReferenceMilliohm',
  'meterInputKiloohm',
  'watchdogUs',
];
