import { parse } from 'csv-parse/browser/esm/sync';
import { stringify } from 'csv-stringify/browser/esm/sync';
import { fileText, linesOf, readNumber, refuseIfAny } from './file-text.ts';
import type { LawData, LawMark, LawPoint } from './law.ts';
import { markProblems, type ReadMark } from './law-rules.ts';
import { pointProblems, type ReadPoint } from './point-rules.ts';
import { type LawFileProblem, quoted } from './problems.ts';
import { MAX_MARKS, MAX_POINTS } from './shape.ts';

/** Columns of a points file, in the order they are written. All must be there; the order is free when read. */
export const POINTS_COLUMNS = ['travel_mm', 'loss_db', 'minus_db', 'plus_db', 'travel_tol_mm', 'mark'] as const;

/** Word in `plus_db` for a one-sided point: any greater loss is allowed. An empty cell is a gap and refused. */
export const ANY_LOSS = 'any';

type Column = (typeof POINTS_COLUMNS)[number];
type Row = { readonly line: number; readonly cell: (column: Column) => string };

/** What a points file holds. */
export interface LawPoints {
  readonly points: readonly LawPoint[];
  readonly marks: readonly LawMark[];
}

/**
 * Points and marks of a law as CSV: one row for each travel that has a point, a mark or both, LF line ends.
 * `readPointsCsv` gives back exactly the same numbers and texts.
 */
export function writePointsCsv({ points, marks }: Pick<LawData, 'points' | 'marks'>): string {
  const pointOf = new Map(points.map((point) => [point.travelMm, point]));
  const markOf = new Map(marks.map((mark) => [mark.travelMm, mark.text]));
  const travels = [...new Set([...pointOf.keys(), ...markOf.keys()])].sort((a, b) => a - b);
  const rows = travels.map((travelMm) => {
    const point = pointOf.get(travelMm);
    const numbers =
      point === undefined
        ? ['', '', '', '']
        : [point.lossDb, point.minusDb, point.plusDb ?? ANY_LOSS, point.travelTolMm ?? ''];
    return [travelMm, ...numbers, markOf.get(travelMm) ?? ''].map(String);
  });
  return stringify([[...POINTS_COLUMNS], ...rows], { record_delimiter: '\n' });
}

/**
 * Reads a points file and checks the points and marks by the rules of a law (those that need the rest of the law,
 * such as the nominal travel, are checked by `buildLaw`).
 *
 * @param source bytes or text of the file
 * @throws LawFileError with every problem found and its line
 */
export function readPointsCsv(source: string | Uint8Array): LawPoints {
  const problems: LawFileProblem[] = [];
  const rows = readRows(fileText(source), problems);
  const points: { line: number; point: ReadPoint }[] = [];
  const marks: { line: number; mark: ReadMark }[] = [];
  for (const row of rows) {
    const travelMm = numberIn(row, 'travel_mm', problems);
    const text = row.cell('mark');
    const isMarkOnly = (['loss_db', 'minus_db', 'plus_db', 'travel_tol_mm'] as const).every((c) => row.cell(c) === '');
    if (text !== '') marks.push({ line: row.line, mark: { travelMm, text } });
    if (isMarkOnly && text !== '') continue;
    points.push({
      line: row.line,
      point: {
        travelMm,
        lossDb: numberIn(row, 'loss_db', problems),
        minusDb: numberIn(row, 'minus_db', problems),
        plusDb: row.cell('plus_db') === ANY_LOSS ? null : numberIn(row, 'plus_db', problems),
        travelTolMm: row.cell('travel_tol_mm') === '' ? undefined : numberIn(row, 'travel_tol_mm', problems),
      },
    });
  }
  const readPoints = points.map((p) => p.point);
  const readMarks = marks.map((m) => m.mark);
  const isComplete = problems.length === 0;
  for (const { message, row } of pointProblems(readPoints, Number.NaN, 'dbLinear')) {
    // The whole cannot be judged while rows of it are unreadable.
    if (row === null && !isComplete) continue;
    problems.push({ line: row === null ? null : (points[row - 1]?.line ?? null), message });
  }
  for (const { message, row } of markProblems(readMarks, Number.NaN)) {
    problems.push({ line: row === null ? null : (marks[row - 1]?.line ?? null), message });
  }
  refuseIfAny(problems);
  return {
    points: readPoints.map(({ travelTolMm, ...rest }) => (travelTolMm === undefined ? rest : { ...rest, travelTolMm })),
    marks: readMarks.map(({ travelMm, text }) => ({ travelMm, text: text ?? '' })),
  };
}

function numberIn(row: Row, column: Column, problems: LawFileProblem[]): number {
  const text = row.cell(column);
  if (text === '') {
    const hint =
      column === 'plus_db' ? ` Write a number, or "${ANY_LOSS}" if any greater loss is allowed.` : ' Fill it in.';
    problems.push({ line: row.line, message: `The column ${column} is empty.${hint}` });
    return Number.NaN;
  }
  const value = readNumber(text);
  if (typeof value === 'number') return value;
  problems.push({ line: row.line, message: `Column ${column}: ${value}` });
  return Number.NaN;
}

/** Cells of one line. Lines are read one by one, so that a wrong quote spoils its own line only. */
function cellsOf(content: string, line: number, problems: LawFileProblem[]): readonly string[] | null {
  try {
    const records: string[][] = parse(content, { relax_column_count: true, trim: true, max_record_size: 10_000 });
    return records[0] ?? [];
  } catch (error) {
    const isTooLong = error instanceof Error && 'code' in error && error.code === 'CSV_MAX_RECORD_SIZE';
    problems.push({
      line,
      message: isTooLong
        ? 'The line is longer than 10000 characters. Is it the right file?'
        : 'The quotes do not match. A quoted cell begins and ends with ", a " inside is doubled, and it ends on its line.',
    });
    return null;
  }
}

function readRows(text: string, problems: LawFileProblem[]): Row[] {
  const lines = linesOf(text)
    .map((content, index) => ({ content, line: index + 1 }))
    .filter(({ content }) => content.trim() !== '');
  const [head, ...body] = lines;
  const header = head === undefined ? null : cellsOf(head.content, head.line, problems);
  if (head === undefined || header === null) {
    refuseIfAny(problems);
    return [];
  }
  refuseIfAny([...problems, ...headerProblems(header, head)]);
  if (body.length > MAX_POINTS + MAX_MARKS) {
    refuseIfAny([
      { line: null, message: `The file has ${body.length} rows; no law is that long. Is it the right file?` },
    ]);
  }
  const columnIndex = new Map(header.map((name, index) => [name, index]));
  return body.flatMap(({ content, line }) => {
    const cells = cellsOf(content, line, problems);
    if (cells === null) return [];
    if (cells.every((cell) => cell === '')) {
      problems.push({ line, message: 'The row has only empty cells. Delete it.' });
      return [];
    }
    if (cells.length !== header.length) {
      const hint =
        cells.length > header.length ? ' A decimal comma makes two cells of one; write a decimal point.' : '';
      problems.push({ line, message: `The row has ${cells.length} cells, the header has ${header.length}.${hint}` });
      return [];
    }
    return [{ line, cell: (column: Column) => cells[columnIndex.get(column) ?? -1] ?? '' }];
  });
}

function headerProblems(
  header: readonly string[],
  { content, line }: { content: string; line: number },
): LawFileProblem[] {
  const wanted = POINTS_COLUMNS.join(',');
  for (const [separator, name] of [
    [';', 'semicolons'],
    ['\t', 'tabs'],
  ] as const) {
    if (header.length === 1 && content.includes(separator)) {
      const message = `The columns are separated by ${name}. Save the file with commas between the columns and points in the decimals.`;
      return [{ line, message }];
    }
  }
  const known: readonly string[] = POINTS_COLUMNS;
  const problems: LawFileProblem[] = [];
  header.forEach((name, index) => {
    if (!known.includes(name)) {
      problems.push({ line, message: `The column ${quoted(name)} is unknown. The header is: ${wanted}.` });
    } else if (header.indexOf(name) !== index) {
      problems.push({ line, message: `The column ${name} stands twice. Remove one of the two.` });
    }
  });
  for (const name of POINTS_COLUMNS) {
    if (!header.includes(name)) {
      problems.push({ line, message: `The column ${name} is missing. The header is: ${wanted}.` });
    }
  }
  return problems;
}
