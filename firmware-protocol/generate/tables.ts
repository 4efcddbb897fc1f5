/** The tables of SPEC.md that are written from the codec, so that the two cannot drift apart. */
import { limitKeys } from '../codec/limits.ts';
import { refusals } from '../codec/refusals.ts';
import { words } from '../codec/words.ts';

/** A table with its columns aligned, as the project's formatter wants it. */
function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((title, column) =>
    Math.max(3, title.length, ...rows.map((cells) => cells[column]?.length ?? 0)),
  );
  const line = (cells: readonly string[]): string =>
    `| ${cells.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join(' | ')} |`;
  const rule = `| ${widths.map((width) => '-'.repeat(width)).join(' | ')} |`;
  return [line(head), rule, ...rows.map(line)].join('\n');
}

function wordTable(): string {
  const answers = { hello: 'identity (6)', limits: 'limits (10)', status: 'status (10)', reading: 'reading (10)' };
  const rows = words.map((spec) => {
    const mark = { order: '>', express: '~', event: '*' }[spec.kind];
    const fields = spec.fields.map(
      ({ key, meaning, unit, min, max }) => `\`${key}\` ${meaning}, ${unit}, ${min}..${max}`,
    );
    const answer =
      spec.answer === null ? '-' : spec.answer === 'glideEnd' ? 'samples, glide end (10)' : answers[spec.answer];
    return [
      `\`${mark} ${spec.word}\``,
      spec.meaning,
      fields.join('<br>') || '-',
      answer,
      spec.refusals.join(' ') || '-',
      spec.execution,
    ];
  });
  return table(['word', 'meaning', 'fields: meaning, unit, range', 'answer', 'refusals', 'class'], rows);
}

function limitTable(): string {
  const rows = limitKeys.map(([key, name]) => [`\`${key}\``, name]);
  return table(['key', 'limit, unit in the name'], rows);
}

function refusalTable(): string {
  const rows = Object.entries(refusals).map(([code, spec]) => [
    `\`${code}\``,
    spec.meaning,
    spec.usesNumber ? 'yes' : 'no',
    { before: 'before', during: 'in work', both: 'before or in work' }[spec.when],
    spec.operatorAction ?? '(the program acts)',
  ]);
  return table(['code', 'meaning', 'number used', 'when', 'what the operator can do'], rows);
}

/** `spec` with the text between its begin and end marks replaced. Throws when a mark is missing. */
export function withTables(spec: string): string {
  const tables = { words: wordTable(), limits: limitTable(), refusals: refusalTable() };
  let text = spec;
  for (const [name, written] of Object.entries(tables)) {
    const begin = `<!-- ${name}: begin -->`;
    const end = `<!-- ${name}: end -->`;
    const from = text.indexOf(begin);
    const to = text.indexOf(end);
    if (from === -1 || to < from) throw new Error(`SPEC.md lacks the marks around its table of ${name}.`);
    text = `${text.slice(0, from + begin.length)}\n\n${written}\n\n${text.slice(to)}`;
  }
  return text;
}
