/**
 * Records as bytes, column after column, little-endian: float64 columns (a gap is NaN), then int32 (a gap is -1), then
 * uint8 (the place of the word in its list). Writing doubles as text costs more than the insert itself.
 */
import { ArchiveDefectError, RunRefusedError } from './errors.ts';
import { packed, unpackedFloat64, unpackedInt32 } from './packed-arrays.ts';

/** Which property lives in which column; the order is frozen: it is what databases hold. */
export interface Layout<T> {
  readonly floats: readonly (keyof T & string)[];
  readonly counts: readonly (keyof T & string)[];
  readonly words: readonly (readonly [keyof T & string, readonly unknown[]])[];
  /** Properties that may be null. */
  readonly gaps: readonly (keyof T & string)[];
}

function bytesPerRecord<T>(layout: Layout<T>): number {
  return layout.floats.length * 8 + layout.counts.length * 4 + layout.words.length;
}

/** Takes values of one record after the other; remembers whether one was not what its column holds. */
export class ColumnWriter<T extends object> {
  readonly floats: Float64Array;
  readonly counts: Int32Array;
  readonly words: Uint8Array;
  readonly #layout: Layout<T>;
  #whole = true;

  constructor(layout: Layout<T>, records: number) {
    this.#layout = layout;
    const floatBytes = layout.floats.length * 8 * records;
    const countBytes = layout.counts.length * 4 * records;
    const bytes = new ArrayBuffer(bytesPerRecord(layout) * records);
    this.floats = new Float64Array(bytes, 0, layout.floats.length * records);
    this.counts = new Int32Array(bytes, floatBytes, layout.counts.length * records);
    this.words = new Uint8Array(bytes, floatBytes + countBytes);
  }

  number(value: number): number {
    if (!Number.isFinite(value)) this.#whole = false;
    return value;
  }

  numberOrGap(value: number | null): number {
    return value === null ? Number.NaN : this.number(value);
  }

  count(value: number): number {
    if ((value | 0) !== value || value < 0) this.#whole = false;
    return value;
  }

  countOrGap(value: number | null): number {
    return value === null ? -1 : this.count(value);
  }

  word(list: readonly unknown[], value: unknown): number {
    const place = list.indexOf(value);
    if (place < 0) this.#whole = false;
    return place;
  }

  /** @throws RunRefusedError naming the first value of `records` that is not what its column holds. */
  finish(records: readonly T[], runId: string, listName: string): Buffer {
    if (!this.#whole) throw firstFault(this.#layout, records, runId, listName);
    packed(this.floats, 'inPlace');
    packed(this.counts, 'inPlace');
    return Buffer.from(this.floats.buffer);
  }
}

/** The records' properties again; those without a column are for the caller to add. */
export function unpackedColumns<T extends object>(layout: Layout<T>, bytes: Uint8Array): Partial<T>[] {
  const n = bytes.byteLength / bytesPerRecord(layout);
  if (!Number.isInteger(n)) throw new ArchiveDefectError(`Packed records of ${bytes.byteLength} bytes are not whole.`);
  const countsFrom = layout.floats.length * 8 * n;
  const wordsFrom = countsFrom + layout.counts.length * 4 * n;
  const floats = unpackedFloat64(bytes.subarray(0, countsFrom));
  const counts = unpackedInt32(bytes.subarray(countsFrom, wordsFrom));
  return Array.from({ length: n }, (_, i) => {
    const record: Record<string, unknown> = {};
    layout.floats.forEach((property, column) => {
      const value = floats[column * n + i];
      record[property] = Number.isNaN(value) ? null : value;
    });
    layout.counts.forEach((property, column) => {
      const value = counts[column * n + i];
      record[property] = value === -1 ? null : value;
    });
    layout.words.forEach(([property, list], column) => {
      record[property] = list[bytes[wordsFrom + column * n + i] ?? -1];
    });
    return record as Partial<T>;
  });
}

function firstFault<T extends object>(
  layout: Layout<T>,
  records: readonly T[],
  runId: string,
  listName: string,
): Error {
  for (const [i, record] of records.entries()) {
    const fault = (property: keyof T & string, wanted: string): Error =>
      new RunRefusedError(runId, `${listName}[${i}].${property} is ${String(record[property])}; ${wanted}`);
    const isGap = (property: keyof T & string): boolean => layout.gaps.includes(property) && record[property] === null;
    for (const property of layout.floats) {
      if (isGap(property) || Number.isFinite(record[property])) continue;
      return fault(property, layout.gaps.includes(property) ? 'a gap is null' : 'a number is needed');
    }
    for (const property of layout.counts) {
      const value: unknown = record[property];
      if (isGap(property) || (typeof value === 'number' && (value | 0) === value && value >= 0)) continue;
      return fault(property, 'a whole number from 0 to 2147483647 is needed');
    }
    for (const [property, list] of layout.words) {
      if (!list.includes(record[property])) return fault(property, `one of ${list.join(', ')} is needed`);
    }
  }
  return new ArchiveDefectError(`Run ${runId}: ${listName} cannot be packed, yet no value is at fault.`);
}
