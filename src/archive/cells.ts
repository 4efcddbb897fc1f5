import type { FieldMap } from './columns.ts';
import { RunRefusedError } from './errors.ts';

/** What SQLite stores; booleans become 0 and 1. */
export type Cell = string | number | null;

/**
 * The cells of one record in the order of its field map.
 * @throws RunRefusedError for a value the database would bend: NaN and infinities (NULL or text to others), half
 *   characters, a missing property. Negative zero is stored as zero: SQLite keeps no sign there.
 */
export function cellsOf<T extends object>(fields: FieldMap<T>, record: T, runId: string, where: string): Cell[] {
  const cells: Cell[] = [];
  for (const property in fields) cells.push(cell(record[property], runId, `${where}${property}`));
  return cells;
}

function cell(value: unknown, runId: string, where: string): Cell {
  if (value === null) return null;
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new RunRefusedError(runId, `${where} is ${value}; a gap is null`);
    return value + 0;
  }
  if (typeof value === 'boolean') return value ? 1 : 0;
  if (typeof value === 'string') {
    if (!value.isWellFormed()) throw new RunRefusedError(runId, `${where} holds half a character (a lone surrogate)`);
    return value;
  }
  throw new RunRefusedError(runId, `${where} is ${typeof value}; a gap is null`);
}
