/**
 * Readings as bytes, column after column, little-endian: float64 columns (a gap is NaN), then int32 (a gap is -1), then
 * uint8 (the place of the word in its list). Writing doubles as text costs more than the insert itself. The layout is
 * frozen: it is what databases hold.
 */
import { ArchiveDefectError, RunRefusedError } from './errors.ts';
import { packed, unpackedFloat64, unpackedInt32 } from './packed-arrays.ts';
import type { ReadingRecord } from './records.ts';

type Property = keyof ReadingRecord;

const floats = [
  'targetMm',
  'positionUm',
  'rigClockUs',
  'integrationUs',
  'wiperCounts',
  'wiperSdCounts',
  'trackCounts',
  'travelMm',
  'ratio',
  'lossDb',
] as const satisfies readonly Property[];
const counts = ['sequence', 'pointIndex', 'conversions'] as const satisfies readonly Property[];
const words = {
  purpose: ['point', 'closed', 'open', 'totalResistance'],
  direction: ['up', 'down', 'still'],
  overRange: [false, true],
} as const;
const gaps: ReadonlySet<Property> = new Set(['wiperSdCounts', 'travelMm', 'ratio', 'lossDb', 'pointIndex'] as const);

/** Compiles only while every property of a reading has its column. */
type Packed = (typeof floats)[number] | (typeof counts)[number] | keyof typeof words;
const everyPropertyHasAColumn: Exclude<Property, Packed> extends never ? true : never = true;

const wordColumns = Object.entries(words) as [keyof typeof words, readonly unknown[]][];
const bytesPerReading = floats.length * 8 + counts.length * 4 + wordColumns.length;

/** @throws RunRefusedError naming the first value that is not what its column holds. */
export function packedReadings(readings: readonly ReadingRecord[], runId: string): Buffer {
  const n = readings.length;
  const refuse = (index: number, property: Property, fault: string): never => {
    throw new RunRefusedError(runId, `readings[${index}].${property} ${fault}`);
  };
  const floatValues = new Float64Array(floats.length * n);
  floats.forEach((property, column) => {
    for (let i = 0; i < n; i += 1) {
      const value = readings[i]?.[property];
      if (value === null && gaps.has(property)) floatValues[column * n + i] = Number.NaN;
      else if (typeof value === 'number' && Number.isFinite(value)) floatValues[column * n + i] = value;
      else refuse(i, property, `is ${value}; ${gaps.has(property) ? 'a gap is null' : 'a number is needed'}`);
    }
  });
  const countValues = new Int32Array(counts.length * n);
  counts.forEach((property, column) => {
    for (let i = 0; i < n; i += 1) {
      const value = readings[i]?.[property];
      if (value === null && gaps.has(property)) countValues[column * n + i] = -1;
      else if (typeof value === 'number' && value >= 0 && (value | 0) === value) countValues[column * n + i] = value;
      else refuse(i, property, `is ${value}, not a whole number from 0 to 2147483647`);
    }
  });
  const wordValues = new Uint8Array(wordColumns.length * n);
  wordColumns.forEach(([property, list], column) => {
    for (let i = 0; i < n; i += 1) {
      const place = list.indexOf(readings[i]?.[property]);
      if (place < 0) refuse(i, property, `is "${String(readings[i]?.[property])}", not one of ${list.join(', ')}`);
      wordValues[column * n + i] = place;
    }
  });
  return Buffer.concat([packed(floatValues), packed(countValues), wordValues], n * bytesPerReading);
}

export function unpackedReadings(bytes: Uint8Array): ReadingRecord[] {
  const n = bytes.byteLength / bytesPerReading;
  if (!Number.isInteger(n) || !everyPropertyHasAColumn)
    throw new ArchiveDefectError('Packed readings have a wrong length.');
  const countsFrom = floats.length * 8 * n;
  const wordsFrom = countsFrom + counts.length * 4 * n;
  const floatValues = unpackedFloat64(bytes.subarray(0, countsFrom));
  const countValues = unpackedInt32(bytes.subarray(countsFrom, wordsFrom));
  return Array.from({ length: n }, (_, i) => {
    const reading: Record<string, unknown> = {};
    floats.forEach((property, column) => {
      const value = floatValues[column * n + i];
      reading[property] = Number.isNaN(value) ? null : value;
    });
    counts.forEach((property, column) => {
      const value = countValues[column * n + i];
      reading[property] = value === -1 ? null : value;
    });
    wordColumns.forEach(([property, list], column) => {
      reading[property] = list[bytes[wordsFrom + column * n + i] ?? -1];
    });
    return reading as unknown as ReadingRecord;
  });
}
