import { stringify } from 'csv-stringify/sync';
import type { RunFilter, RunFinder } from './find-runs.ts';
import type { RunReader } from './read-run.ts';
import type { CheckRecord, PointRecord, ReadingRecord, RunRecord } from './records.ts';

export type CsvKind = 'runs' | 'readings' | 'points' | 'checks';

type CsvCell = string | number | null;
type CsvRow = Readonly<Record<string, CsvCell>>;
type Columns<T> = readonly (keyof T & string)[];

/** Runs per piece of text. */
const pageSize = 50;

const runColumns: Columns<RunRecord> = [
  'runId',
  'serial',
  'batch',
  'job',
  'operator',
  'startedAt',
  'endedAt',
  'outcome',
  'outcomeReason',
  'verdict',
  'verdictReason',
  'lawId',
  'lawRevision',
  'calibrationId',
  'programVersion',
  'closedEndMm',
  'openEndMm',
  'worstPointIndex',
  'worstDeviationDb',
];
const rigColumns: Columns<NonNullable<RunRecord['rig']>> = ['model', 'serial', 'firmware', 'protocol', 'isVirtual'];
const readingColumns: Columns<ReadingRecord> = [
  'sequence',
  'purpose',
  'pointIndex',
  'direction',
  'targetMm',
  'positionUm',
  'rigClockUs',
  'integrationUs',
  'conversions',
  'wiperCounts',
  'wiperSdCounts',
  'trackCounts',
  'overRange',
  'travelMm',
  'ratio',
  'lossDb',
];
const pointColumns: Columns<PointRecord> = [
  'pointIndex',
  'travelMm',
  'lawDb',
  'lowerDb',
  'upperDb',
  'upDeviationDb',
  'downDeviationDb',
  'deviationDb',
  'uncertaintyDb',
  'playMm',
  'zone',
  'reason',
];
const checkColumns: Columns<CheckRecord> = ['name', 'unit', 'value', 'lower', 'upper', 'uncertainty', 'zone', 'reason'];

const headers: Readonly<Record<CsvKind, readonly string[]>> = {
  runs: [...runColumns, ...rigColumns.map(rigHeader)],
  readings: ['runId', 'serial', ...readingColumns],
  points: ['runId', 'serial', ...pointColumns],
  checks: ['runId', 'serial', ...checkColumns],
};

/**
 * RFC 4180 text (UTF-8, CRLF, header first) in pieces of some runs each, oldest run first; a gap is an empty cell,
 * true and false are 1 and 0, numbers are written so that they read back exactly. Text cells that a spreadsheet would
 * take for a formula (beginning with = + - @ tab or return) get an apostrophe in front.
 */
export async function* exportCsv(
  finder: RunFinder,
  reader: RunReader,
  filter: RunFilter,
  kind: CsvKind,
): AsyncGenerator<string, void, undefined> {
  const columns = headers[kind];
  yield csv([Object.fromEntries(columns.map((name) => [name, name]))], columns);
  for (const page of finder.pages(filter, pageSize)) {
    const rows: CsvRow[] = [];
    for (const { runId } of page) {
      const run = reader.read(runId);
      if (run !== null) rows.push(...rowsOf(run, kind));
    }
    if (rows.length > 0) yield csv(rows, columns);
    // Lets the station work between pages even if the consumer never waits.
    await new Promise((done) => setImmediate(done));
  }
}

function rowsOf(run: RunRecord, kind: CsvKind): CsvRow[] {
  const { runId, serial, rig } = run;
  const withRun = (cells: CsvRow): CsvRow => ({ runId, serial, ...cells });
  if (kind === 'readings') return run.readings.map((reading) => withRun(pick(reading, readingColumns)));
  if (kind === 'points') return run.points.map((point) => withRun(pick(point, pointColumns)));
  if (kind === 'checks') return run.checks.map((check) => withRun(pick(check, checkColumns)));
  const rigCells = rig === null ? {} : pick(rig, rigColumns);
  const renamed = Object.entries(rigCells).map(([name, value]) => [rigHeader(name), value] as const);
  return [{ ...pick(run, runColumns), ...Object.fromEntries(renamed) }];
}

function rigHeader(name: string): string {
  return `rig${name.charAt(0).toUpperCase()}${name.slice(1)}`;
}

function pick<T extends object>(record: T, columns: Columns<T>): CsvRow {
  return Object.fromEntries(columns.map((name) => [name, csvCell(record[name])]));
}

function csvCell(value: unknown): CsvCell {
  if (typeof value === 'boolean') return value ? 1 : 0;
  return typeof value === 'string' || typeof value === 'number' ? value : null;
}

function csv(rows: readonly CsvRow[], columns: readonly string[]): string {
  return stringify([...rows], { columns: [...columns], record_delimiter: 'windows', escape_formulas: true });
}
