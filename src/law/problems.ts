/** Where something is wrong inside a law and what to do about it. */
export interface LawProblem {
  /** 1-based number of the point or mark concerned, `null` when the whole law is concerned. */
  readonly row: number | null;
  /** Dotted name of the field, e.g. `points.lossDb`, `marks.text`, `resistance.nominalOhm`. */
  readonly field: string;
  /** What is wrong, with which value, and what to do. */
  readonly message: string;
  /** Keys and 0-based indexes from the law down to the value, e.g. `['points', 2, 'lossDb']`. */
  readonly path: readonly (string | number)[];
}

/** A law was refused. Carries every problem found, not only the first. */
export class LawInvalidError extends Error {
  readonly code = 'law.invalid';
  readonly userFixable = true;
  readonly problems: readonly LawProblem[];

  constructor(lawName: string, problems: readonly LawProblem[]) {
    super(`${lawName} is not usable: ${problems.map((p) => p.message).join(' ')}`);
    this.name = 'LawInvalidError';
    this.problems = problems;
  }
}

/** Where something is wrong in a law file. */
export interface LawFileProblem {
  /** 1-based line; `null` when no single line is to blame (e.g. the file is too big). */
  readonly line: number | null;
  readonly message: string;
}

/** A law file was refused. Carries every problem found, ordered by line. */
export class LawFileError extends Error {
  readonly code = 'law.file';
  readonly userFixable = true;
  readonly problems: readonly LawFileProblem[];

  /** @param name of the file, where it is known */
  constructor(problems: readonly LawFileProblem[], name: string | null = null) {
    const ordered = [...problems].sort((a, b) => (a.line ?? 0) - (b.line ?? 0));
    super(
      `The law file${name === null ? '' : ` ${quoted(name)}`} was refused. ${ordered
        .map((p) => (p.line === null ? p.message : `Line ${p.line}: ${p.message}`))
        .join(' ')}`,
    );
    this.name = 'LawFileError';
    this.problems = ordered;
  }
}

/** A law function was called with a number outside its domain: a defect of the caller. */
export class LawDomainError extends RangeError {
  readonly code = 'law.domain';
  readonly userFixable = false;

  constructor(message: string) {
    super(message);
    this.name = 'LawDomainError';
  }
}

/** Text from outside, made safe and short enough to be repeated in a message. */
export function quoted(text: string): string {
  const visible = text.toWellFormed().replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu, '\u{FFFD}');
  return `"${visible.length > 40 ? `${visible.slice(0, 40)}...` : visible}"`;
}
