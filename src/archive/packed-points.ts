import { ArchiveDefectError } from './errors.ts';
import { ColumnWriter, type Layout, unpackedColumns } from './packed-columns.ts';
import type { PointRecord } from './records.ts';

/** The numbers of a point; its words (zone, reason) are kept as text beside them. */
export type PointNumbers = Omit<PointRecord, 'zone' | 'reason'>;

const layout = {
  floats: [
    'travelMm',
    'lawDb',
    'lowerDb',
    'upperDb',
    'upDeviationDb',
    'downDeviationDb',
    'deviationDb',
    'uncertaintyDb',
    'playMm',
  ],
  counts: ['pointIndex'],
  words: [],
  gaps: ['upperDb', 'upDeviationDb', 'downDeviationDb', 'deviationDb', 'uncertaintyDb', 'playMm'],
} as const satisfies Layout<PointNumbers>;

/** A property added to a point without a column does not compile. */
type Packed = (typeof layout.floats)[number] | (typeof layout.counts)[number];
const everyPropertyHasAColumn: Exclude<keyof PointNumbers, Packed> extends never ? true : never = true;

/** @throws RunRefusedError naming the first value that is not what its column holds. */
export function packedPoints(points: readonly PointRecord[], runId: string): Buffer {
  const n = points.length;
  const to = new ColumnWriter<PointNumbers>(layout, n);
  const { floats, counts } = to;
  for (let i = 0; i < n; i += 1) {
    const point = points[i];
    if (point === undefined) throw new ArchiveDefectError('A list of points has a hole.');
    floats[i] = to.number(point.travelMm);
    floats[n + i] = to.number(point.lawDb);
    floats[2 * n + i] = to.number(point.lowerDb);
    floats[3 * n + i] = to.numberOrGap(point.upperDb);
    floats[4 * n + i] = to.numberOrGap(point.upDeviationDb);
    floats[5 * n + i] = to.numberOrGap(point.downDeviationDb);
    floats[6 * n + i] = to.numberOrGap(point.deviationDb);
    floats[7 * n + i] = to.numberOrGap(point.uncertaintyDb);
    floats[8 * n + i] = to.numberOrGap(point.playMm);
    counts[i] = to.count(point.pointIndex);
  }
  return to.finish(points, runId, 'points');
}

export function unpackedPoints(bytes: Uint8Array): PointNumbers[] {
  if (!everyPropertyHasAColumn) throw new ArchiveDefectError('A property of a point has no column.');
  return unpackedColumns<PointNumbers>(layout, bytes) as PointNumbers[];
}
