import type * as z from 'zod';
import type { LawData, LawMark, LawPoint } from './law.ts';
import { lawProblems, type ReadLaw, type ReadMark } from './law-rules.ts';
import { pointName, type ReadPoint } from './point-rules.ts';
import { LawInvalidError, type LawProblem, quoted } from './problems.ts';
import { type LawShape, lawShape, MAX_MARKS, MAX_POINTS } from './shape.ts';

/**
 * A law that passed every rule: the plain data, deeply frozen, nothing hidden. Made by `buildLaw` only;
 * the functions that read a law rely on its rules.
 */
export type Law = LawData;

/**
 * Validated construction of a law.
 *
 * @param data anything; usually `LawData` from a file, the archive or another process
 * @returns a frozen copy in the canonical key order (negative zero becomes zero)
 * @throws LawInvalidError with every problem found
 */
export function buildLaw(data: unknown): Law {
  refuseTooLong(data);
  const shaped = lawShape.safeParse(data);
  const problems = shaped.success ? [] : shapeProblems(data, shaped.error.issues);
  problems.push(...lawProblems(readWhatIsThere(data)));
  if (!shaped.success || problems.length > 0) throw new LawInvalidError(nameOf(data), problems);
  return frozen(shaped.data);
}

/** Checked first and alone, so that a hostile list costs neither time nor a million messages. */
function refuseTooLong(data: unknown): void {
  const problems: LawProblem[] = [];
  for (const [key, max] of [
    ['points', MAX_POINTS],
    ['marks', MAX_MARKS],
  ] as const) {
    const list = valueAt(data, [key]);
    if (!Array.isArray(list) || list.length <= max) continue;
    const message = `The law has ${list.length} ${key}; at most ${max} are allowed. Leave out what is not needed.`;
    problems.push({ row: null, field: key, message, path: [key] });
  }
  if (problems.length > 0) throw new LawInvalidError(nameOf(data), problems);
}

function nameOf(data: unknown): string {
  const id = valueAt(data, ['id']);
  return typeof id === 'string' ? `The law ${quoted(id)}` : 'The law';
}

function frozen(law: LawShape): Law {
  const point = (p: LawShape['points'][number]): LawPoint =>
    Object.freeze({
      travelMm: p.travelMm + 0,
      lossDb: p.lossDb + 0,
      minusDb: p.minusDb,
      plusDb: p.plusDb,
      ...(p.travelTolMm === undefined ? {} : { travelTolMm: p.travelTolMm + 0 }),
    });
  const mark = (m: LawShape['marks'][number]): LawMark => Object.freeze({ travelMm: m.travelMm + 0, text: m.text });
  const { maxPlayMm } = law.limits;
  return Object.freeze({
    id: law.id,
    revision: law.revision,
    title: law.title,
    travelMm: law.travelMm,
    points: Object.freeze(law.points.map(point)),
    closedMinLossDb: law.closedMinLossDb,
    openMaxLossDb: law.openMaxLossDb + 0,
    resistance: Object.freeze({
      nominalOhm: law.resistance.nominalOhm,
      toleranceFraction: law.resistance.toleranceFraction,
    }),
    loadOhm: law.loadOhm,
    interpolation: law.interpolation,
    marks: Object.freeze(law.marks.map(mark)),
    limits: Object.freeze(maxPlayMm === undefined ? {} : { maxPlayMm }),
  });
}

type Path = readonly (string | number)[];

/** The value at a path, own properties only; `undefined` = not there. */
function valueAt(data: unknown, path: Path): unknown {
  let value = data;
  for (const key of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, key)) return undefined;
    value = (value as Record<string | number, unknown>)[key];
  }
  return value;
}

/** Problems of type and keys, in the same words as the rules. */
function shapeProblems(data: unknown, issues: readonly z.core.$ZodIssue[]): LawProblem[] {
  return issues.flatMap((issue) => {
    const path = issue.path.map((key) => (typeof key === 'symbol' ? String(key) : key));
    if (issue.code === 'unrecognized_keys') {
      return issue.keys.map((key) =>
        problemAt(data, [...path, key], `has an unknown field ${quoted(key)}. Remove it or correct its name`, path),
      );
    }
    const value = valueAt(data, path);
    const what =
      value === undefined
        ? `${path.at(-1) ?? 'the law'} is missing. Add it`
        : typeof value === 'number' && !Number.isFinite(value)
          ? `${path.at(-1)} is ${value}, not a finite number. Correct it`
          : `${path.at(-1) ?? 'the law'} ${path.length === 0 || issue.message.startsWith('Invalid') ? `has the wrong type (${typeName(value)})` : issue.message}. Correct it`;
    return [problemAt(data, path, what, path.slice(0, -1))];
  });
}

function typeName(value: unknown): string {
  if (value === null) return 'null';
  return Array.isArray(value) ? 'list' : typeof value;
}

function problemAt(data: unknown, path: Path, what: string, owner: Path): LawProblem {
  const index = path[1];
  const row = typeof index === 'number' ? index + 1 : null;
  const field = path.filter((key) => typeof key === 'string').join('.');
  let name = owner.length === 0 ? 'The law' : `The law's ${owner.join('.')}`;
  if (row !== null) {
    const travel = valueAt(data, [path[0] ?? '', row - 1, 'travelMm']);
    name =
      path[0] === 'marks'
        ? `Mark ${row}`
        : pointName(row, typeof travel === 'number' && path[2] !== 'travelMm' ? travel : Number.NaN);
  }
  return { row, field, message: `${name}: ${what}.`, path };
}

/** As much of the law as can be read, so that one wrong field does not hide the problems of the others. */
function readWhatIsThere(data: unknown): ReadLaw {
  const number = (...path: Path): number => {
    const value = valueAt(data, path);
    return typeof value === 'number' && Number.isFinite(value) ? value : Number.NaN;
  };
  const nullable = (...path: Path): number | null => (valueAt(data, path) === null ? null : number(...path));
  const optional = (...path: Path): number | undefined =>
    valueAt(data, path) === undefined ? undefined : number(...path);
  const text = (...path: Path): string | null => {
    const value = valueAt(data, path);
    return typeof value === 'string' ? value : null;
  };
  const indexes = (key: string): readonly number[] | null => {
    const list = valueAt(data, [key]);
    return Array.isArray(list) ? [...list.keys()] : null;
  };
  const point = (i: number): ReadPoint => ({
    travelMm: number('points', i, 'travelMm'),
    lossDb: number('points', i, 'lossDb'),
    minusDb: number('points', i, 'minusDb'),
    plusDb: nullable('points', i, 'plusDb'),
    travelTolMm: optional('points', i, 'travelTolMm'),
  });
  const mark = (i: number): ReadMark => ({ travelMm: number('marks', i, 'travelMm'), text: text('marks', i, 'text') });
  return {
    id: text('id'),
    revision: number('revision'),
    title: text('title'),
    travelMm: number('travelMm'),
    points: indexes('points')?.map(point) ?? null,
    closedMinLossDb: number('closedMinLossDb'),
    openMaxLossDb: number('openMaxLossDb'),
    nominalOhm: number('resistance', 'nominalOhm'),
    toleranceFraction: number('resistance', 'toleranceFraction'),
    loadOhm: nullable('loadOhm'),
    interpolation: valueAt(data, ['interpolation']) === 'stepped' ? 'stepped' : 'dbLinear',
    marks: indexes('marks')?.map(mark) ?? [],
    maxPlayMm: optional('limits', 'maxPlayMm'),
  };
}
