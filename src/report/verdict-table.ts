/** The verdicts of a batch as a table for a terminal, at most 100 columns wide. */
import Table from 'cli-table3';
import type { CheckRecord, PointRecord, RunRecord, VerdictWord } from '../archive/records.ts';
import type { LawData } from '../law/law.ts';
import { type BatchFader, gatherFaders, verdictCounts, worstPoint } from './batch-faders.ts';
import { count, fixed, ohm, signed } from './format.ts';
import { pointWords } from './point-words.ts';
import { verdictOrder, verdictStyles } from './words.ts';

export interface VerdictTableOptions {
  /** Colour the words with terminal escapes. Shapes and words stand there either way. */
  readonly colour?: boolean;
}

/** Terminal colour numbers; the words carry the meaning. */
const ansi: Readonly<Record<VerdictWord, string>> = { pass: '32', doubt: '33', fail: '31', void: '90' };

const painted = (word: VerdictWord, text: string, colour: boolean): string =>
  colour ? `\u001b[${ansi[word]}m${text}\u001b[39m` : text;

/** Text from outside must not steer the terminal, nor widen the table. */
const printable = (text: string, width: number): string => {
  const plain = [...text.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu, '\ufffd')];
  return plain.length > width ? `${plain.slice(0, width - 1).join('')}…` : plain.join('');
};

type Cell = string | { readonly content: string; readonly colSpan: number };

const serialWidth = 25;
const pointWidth = 24;
const reasonWidth = 40;

const checkValue = (run: RunRecord, name: string): number | null =>
  run.checks.find((check) => check.name === name)?.value ?? null;

/** What bears the verdict: a point if there is one, else a check; for a pass the worst point. */
function findingsOf(run: RunRecord, law: LawData): Cell[] {
  const guilty = run.points.filter(({ zone }) => zone === run.verdict);
  const worst = worstPoint(run);
  const point = worst === null || worst.zone === run.verdict ? worst : (guilty[0] ?? worst);
  const check = run.checks.find(({ zone }) => zone === run.verdict);
  // A void run has nothing that may be quoted: its reason takes the room of the numbers.
  if (run.verdict !== 'void') {
    if (run.verdict !== 'pass' && guilty.length === 0 && check !== undefined) return checkFindings(check);
    if (point !== null && point.deviationDb !== null) return pointFindings(point, point.deviationDb, law);
  }
  return [{ content: printable(run.verdictReason || 'nothing measured', reasonWidth), colSpan: 4 }];
}

function pointFindings(point: PointRecord, deviationDb: number, law: LawData): Cell[] {
  const limitDb = deviationDb < 0 ? point.lowerDb : point.upperDb;
  return [
    printable(pointWords(law, point.travelMm), pointWidth),
    signed(deviationDb, 2),
    limitDb === null ? 'none' : signed(limitDb, 2),
    fixed(point.uncertaintyDb, 2),
  ];
}

const checkNames: Readonly<Record<CheckRecord['name'], string>> = {
  closedLoss: 'closed loss',
  openLoss: 'open loss',
  totalResistance: 'total resistance, Ω',
  play: 'play, mm',
};
const checkFigures: Readonly<Record<CheckRecord['unit'], (value: number | null) => string>> = {
  dB: (value) => fixed(value, 2),
  ohm,
  mm: (value) => fixed(value, 3),
};

/** The limit is the one that the value is nearer to, or beyond. */
function checkFindings({ name, unit, value, lower, upper, uncertainty }: CheckRecord): Cell[] {
  const figure = checkFigures[unit];
  const isLow = lower !== null && (upper === null || (value !== null && value - lower < upper - value));
  return [checkNames[name], figure(value), figure(isLow ? lower : upper), figure(uncertainty)];
}

const rowOf = ({ run, serial, otherRuns }: BatchFader, law: LawData, colour: boolean): Cell[] => {
  const { character, word } = verdictStyles[run.verdict];
  const name = otherRuns.length === 0 ? serial : `${serial}, ${otherRuns.length + 1} runs`;
  return [
    printable(name, serialWidth),
    painted(word, `${character} ${word}`, colour),
    ...findingsOf(run, law),
    ohm(checkValue(run, 'totalResistance')),
    fixed(checkValue(run, 'closedLoss'), 1),
  ];
};

/**
 * The table with a line of counts below it, in the order of measuring. No trailing line feed.
 * Every line is at most 100 columns wide, whatever the serials and reasons are.
 */
export function verdictTable(runs: readonly RunRecord[], law: LawData, options: VerdictTableOptions = {}): string {
  const colour = options.colour === true;
  const { faders } = gatherFaders(runs, law);
  if (faders.length === 0) return 'No fader has been measured yet.';
  const table = new Table({
    head: ['Serial', 'Verdict', 'Worst', 'dB', 'limit', 'U', 'Ω', 'closed'],
    colAligns: ['left', 'left', 'left', 'right', 'right', 'right', 'right', 'right'],
    style: { head: [], border: [], compact: true, 'padding-left': 0, 'padding-right': 1 },
    chars: {
      top: '',
      'top-mid': '',
      'top-left': '',
      'top-right': '',
      bottom: '',
      'bottom-mid': '',
      'bottom-left': '',
      'bottom-right': '',
      left: '',
      'left-mid': '',
      mid: '',
      'mid-mid': '',
      right: '',
      'right-mid': '',
      middle: ' ',
    },
    colWidths: [null, null, pointWidth + 1, 7, 7, 6, null, null],
  });
  for (const fader of faders) table.push(rowOf(fader, law, colour));
  const [head, ...rows] = table
    .toString()
    .split('\n')
    .map((line) => line.trimEnd());
  const counts = verdictCounts(faders);
  const summary = verdictOrder.map((word) =>
    painted(word, `${verdictStyles[word].character} ${counts[word]} ${word}`, colour && counts[word] > 0),
  );
  const rule = '─'.repeat(Math.max(...[head ?? '', ...rows].map((line) => visibleWidth(line))));
  const counted = `${count(faders.length, 'fader')}:  ${summary.join('   ')}${virtualMark(faders)}`;
  return [head, rule, ...rows, rule, counted].join('\n');
}

/** How many of the faders were no real ones. */
function virtualMark(faders: readonly BatchFader[]): string {
  const virtual = faders.filter(({ run }) => run.rig?.isVirtual === true).length;
  if (virtual === 0) return '';
  return virtual === faders.length ? '   [virtual rig]' : `   [${virtual} on a virtual rig]`;
}

/** Columns of a line once terminal escapes are taken out; every character of the table is one cell wide. */
function visibleWidth(line: string): number {
  const escapeCharacter = String.fromCharCode(27);
  return [...line.replaceAll(new RegExp(`${escapeCharacter}\\[\\d+m`, 'g'), '')].length;
}
