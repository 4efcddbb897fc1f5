import { ArchiveDefectError } from './errors.ts';
import { ColumnWriter, type Layout, unpackedColumns } from './packed-columns.ts';
import type { ReadingRecord } from './records.ts';

const purposes = ['point', 'closed', 'open', 'totalResistance'] as const;
const directions = ['up', 'down', 'still'] as const;
const flags = [false, true] as const;

const layout = {
  floats: [
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
  ],
  counts: ['sequence', 'pointIndex', 'conversions'],
  words: [
    ['purpose', purposes],
    ['direction', directions],
    ['overRange', flags],
  ],
  gaps: ['wiperSdCounts', 'travelMm', 'ratio', 'lossDb', 'pointIndex'],
} as const satisfies Layout<ReadingRecord>;

/** A property added to a reading without a column does not compile. */
type Packed = (typeof layout.floats)[number] | (typeof layout.counts)[number] | (typeof layout.words)[number][0];
const everyPropertyHasAColumn: Exclude<keyof ReadingRecord, Packed> extends never ? true : never = true;

/** @throws RunRefusedError naming the first value that is not what its column holds. */
export function packedReadings(readings: readonly ReadingRecord[], runId: string): Buffer {
  const n = readings.length;
  const to = new ColumnWriter<ReadingRecord>(layout, n);
  const { floats, counts, words } = to;
  // Property by property on purpose: looked up by name in a loop this took longer than the insert.
  for (let i = 0; i < n; i += 1) {
    const reading = readings[i];
    if (reading === undefined) throw new ArchiveDefectError('A list of readings has a hole.');
    floats[i] = to.number(reading.targetMm);
    floats[n + i] = to.number(reading.positionUm);
    floats[2 * n + i] = to.number(reading.rigClockUs);
    floats[3 * n + i] = to.number(reading.integrationUs);
    floats[4 * n + i] = to.number(reading.wiperCounts);
    floats[5 * n + i] = to.numberOrGap(reading.wiperSdCounts);
    floats[6 * n + i] = to.number(reading.trackCounts);
    floats[7 * n + i] = to.numberOrGap(reading.travelMm);
    floats[8 * n + i] = to.numberOrGap(reading.ratio);
    floats[9 * n + i] = to.numberOrGap(reading.lossDb);
    counts[i] = to.count(reading.sequence);
    counts[n + i] = to.countOrGap(reading.pointIndex);
    counts[2 * n + i] = to.count(reading.conversions);
    words[i] = to.word(purposes, reading.purpose);
    words[n + i] = to.word(directions, reading.direction);
    words[2 * n + i] = to.word(flags, reading.overRange);
  }
  return to.finish(readings, runId, 'readings');
}

export function unpackedReadings(bytes: Uint8Array): ReadingRecord[] {
  if (!everyPropertyHasAColumn) throw new ArchiveDefectError('A property of a reading has no column.');
  return unpackedColumns<ReadingRecord>(layout, bytes) as ReadingRecord[];
}
