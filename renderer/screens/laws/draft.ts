/** A law while it is written: texts as typed, so that nothing typed is lost or rounded, and their check. Pure. */
import { buildLaw, type Law } from '../../../src/law/build.ts';
import type { LawData, LawInterpolation } from '../../../src/law/law.ts';
import { LawInvalidError, type LawProblem } from '../../../src/law/problems.ts';

export const pointColumns = ['travelMm', 'lossDb', 'minusDb', 'plusDb', 'travelTolMm'] as const;
export type PointColumn = (typeof pointColumns)[number];
export type DraftPoint = Readonly<Record<PointColumn, string>>;
export interface DraftMark {
  readonly travelMm: string;
  readonly text: string;
}

export const wholeFields = [
  'title',
  'travelMm',
  'closedMinLossDb',
  'openMaxLossDb',
  'nominalOhm',
  'tolerancePercent',
  'loadOhm',
  'maxPlayMm',
] as const;
export type WholeField = (typeof wholeFields)[number];

export interface Draft {
  readonly id: string;
  readonly revision: number;
  readonly interpolation: LawInterpolation;
  readonly whole: Readonly<Record<WholeField, string>>;
  readonly points: readonly DraftPoint[];
  readonly marks: readonly DraftMark[];
}

/** In `plusDb`: any greater loss is allowed. The same word as in a points file. */
export const anyLoss = 'any';

export function draftOf(law: LawData, revision: number): Draft {
  return {
    id: law.id,
    revision,
    interpolation: law.interpolation,
    whole: {
      title: law.title,
      travelMm: String(law.travelMm),
      closedMinLossDb: String(law.closedMinLossDb),
      openMaxLossDb: String(law.openMaxLossDb),
      nominalOhm: String(law.resistance.nominalOhm),
      tolerancePercent: String(Number((law.resistance.toleranceFraction * 100).toPrecision(15))),
      loadOhm: law.loadOhm === null ? '' : String(law.loadOhm),
      maxPlayMm: law.limits.maxPlayMm === undefined ? '' : String(law.limits.maxPlayMm),
    },
    points: law.points.map((point) => ({
      travelMm: String(point.travelMm),
      lossDb: String(point.lossDb),
      minusDb: String(point.minusDb),
      plusDb: point.plusDb === null ? anyLoss : String(point.plusDb),
      travelTolMm: point.travelTolMm === undefined ? '' : String(point.travelTolMm),
    })),
    marks: law.marks.map((mark) => ({ travelMm: String(mark.travelMm), text: mark.text })),
  };
}

export interface CheckedDraft {
  /** Null while there are problems. */
  readonly law: Law | null;
  readonly problems: readonly LawProblem[];
}

/** Reads the texts and puts the law through the rules of its own room; a text that is no number is told as such. */
export function checkDraft(draft: Draft): CheckedDraft {
  const unread: LawProblem[] = [];
  const number = (text: string, path: readonly (string | number)[], name: string): unknown => {
    const value = numberOf(text);
    if (typeof value === 'number') return value;
    const row = typeof path[1] === 'number' ? path[1] + 1 : null;
    const message =
      text.trim() === '' ? `${name} is empty. Fill it in.` : `${name}: “${text.trim()}” is no number. Write digits.`;
    unread.push({ row, field: path.filter((key) => typeof key === 'string').join('.'), message, path });
    return undefined;
  };
  const optional = (text: string, path: readonly (string | number)[], name: string): unknown =>
    text.trim() === '' ? undefined : number(text, path, name);
  const { whole } = draft;
  const percent = number(whole.tolerancePercent, ['resistance', 'toleranceFraction'], 'The track tolerance');
  const maxPlayMm = optional(whole.maxPlayMm, ['limits', 'maxPlayMm'], 'The play limit');
  const data = {
    id: draft.id,
    revision: draft.revision,
    title: whole.title,
    travelMm: number(whole.travelMm, ['travelMm'], 'The nominal travel'),
    points: draft.points.map((point, row) => {
      const cell = (column: PointColumn, name: string): unknown =>
        number(point[column], ['points', row, column], `Point ${row + 1}, ${name}`);
      const travelTolMm = optional(
        point.travelTolMm,
        ['points', row, 'travelTolMm'],
        `Point ${row + 1}, travel tolerance`,
      );
      return {
        travelMm: cell('travelMm', 'travel'),
        lossDb: cell('lossDb', 'loss'),
        minusDb: cell('minusDb', 'minus'),
        plusDb: point.plusDb.trim().toLowerCase() === anyLoss ? null : cell('plusDb', 'plus'),
        ...(travelTolMm === undefined ? {} : { travelTolMm }),
      };
    }),
    closedMinLossDb: number(whole.closedMinLossDb, ['closedMinLossDb'], 'The closed loss limit'),
    openMaxLossDb: number(whole.openMaxLossDb, ['openMaxLossDb'], 'The open loss limit'),
    resistance: {
      nominalOhm: number(whole.nominalOhm, ['resistance', 'nominalOhm'], 'The track resistance'),
      toleranceFraction: typeof percent === 'number' ? percent / 100 : percent,
    },
    loadOhm: whole.loadOhm.trim() === '' ? null : number(whole.loadOhm, ['loadOhm'], 'The load'),
    interpolation: draft.interpolation,
    marks: draft.marks.map((mark, row) => ({
      travelMm: number(mark.travelMm, ['marks', row, 'travelMm'], `Mark ${row + 1}, travel`),
      text: mark.text,
    })),
    limits: maxPlayMm === undefined ? {} : { maxPlayMm },
  };
  const told = new Set(unread.map((problem) => problem.path.join('/')));
  try {
    const law = buildLaw(data);
    return unread.length === 0 ? { law, problems: [] } : { law: null, problems: unread };
  } catch (error) {
    if (!(error instanceof LawInvalidError)) throw error;
    const rest = error.problems.filter((problem) => !told.has(problem.path.join('/')));
    return { law: null, problems: [...unread, ...rest] };
  }
}

/** A typed number, with a decimal point or comma; null = none. */
export function numberOf(text: string): number | null {
  const plain = text.trim().replace('\u2212', '-').replace(',', '.');
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain) ? Number(plain) : null;
}

const emptyPoint: DraftPoint = { travelMm: '', lossDb: '', minusDb: '', plusDb: '', travelTolMm: '' };

export function withCell(draft: Draft, row: number, column: PointColumn, text: string): Draft {
  return {
    ...draft,
    points: draft.points.map((point, index) => (index === row ? { ...point, [column]: text } : point)),
  };
}

/** A new row after `row`, with that row's tolerances: they seldom change from one point to the next. */
export function withRowAfter(draft: Draft, row: number): Draft {
  const before = draft.points[row];
  const fresh = before === undefined ? emptyPoint : { ...before, travelMm: '', lossDb: '' };
  return { ...draft, points: draft.points.toSpliced(row + 1, 0, fresh) };
}

export const withoutRow = (draft: Draft, row: number): Draft => ({ ...draft, points: draft.points.toSpliced(row, 1) });

/** Cells copied from a spreadsheet, laid over the table from one cell on; rows are added where they run out. */
export function withBlock(draft: Draft, row: number, column: PointColumn, text: string): Draft {
  const lines = text.replace(/\r/g, '').replace(/\n+$/, '').split('\n');
  const first = pointColumns.indexOf(column);
  const points = [...draft.points];
  lines.forEach((line, down) => {
    const cells = line.split('\t');
    const at = row + down;
    const now = points[at] ?? emptyPoint;
    const pasted = Object.fromEntries(
      cells.flatMap((cell, along) => {
        const name = pointColumns[first + along];
        return name === undefined ? [] : [[name, cell.trim()]];
      }),
    );
    points[at] = { ...now, ...pasted };
  });
  return { ...draft, points };
}
