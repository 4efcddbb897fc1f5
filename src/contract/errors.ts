/** How an error crosses a process boundary: code, words for a person, and whether that person can mend it. */
import { z } from 'zod';

export const errorData = z.object({
  code: z.string(),
  message: z.string(),
  userFixable: z.boolean(),
  /** Rows, lines or paths that belong to it; each readable by itself. */
  details: z.array(z.string()),
});
export type ErrorData = z.infer<typeof errorData>;

/** A failure reported by the core, thrown on the caller's side. */
export class CoreError extends Error {
  readonly code: string;
  readonly userFixable: boolean;
  readonly details: readonly string[];

  constructor(data: ErrorData) {
    super(data.message);
    this.name = 'CoreError';
    this.code = data.code;
    this.userFixable = data.userFixable;
    this.details = data.details;
  }
}

/** The core went away with calls unanswered. */
export class CoreGoneError extends Error {
  readonly code = 'core.gone';
  readonly userFixable = false;
  /** How it ended, in a few words. */
  readonly reason: string;

  constructor(reason: string) {
    super(
      `The measuring process ended (${reason}). Results already shown as recorded are on disk; start again, and send the log if it repeats.`,
    );
    this.name = 'CoreGoneError';
    this.reason = reason;
  }
}

/** A message across the boundary did not have the agreed shape: two versions of the program, or a defect. */
export class ContractError extends Error {
  readonly code = 'contract.shape';
  readonly userFixable = false;

  constructor(what: string, problem: string) {
    super(`${what} does not have the agreed shape: ${problem}. Start the program again; if it repeats, report it.`);
    this.name = 'ContractError';
  }
}

const issuesShown = 8;

/** What a value lacks of the agreed shape, each place with its fault, as the middle of a sentence. */
export function shapeInWords(error: z.ZodError): string {
  const shown = error.issues.slice(0, issuesShown).map(({ path, message }) => {
    const place = path.length === 0 ? 'the whole' : path.join('.');
    return /received undefined$/.test(message) ? `${place} is missing` : `${place}: ${message}`;
  });
  const rest = error.issues.length - shown.length;
  return `${shown.join('; ')}${rest > 0 ? `; and ${rest} more` : ''}`;
}

const isTyped = (error: Error): error is Error & { code: string } => 'code' in error && typeof error.code === 'string';

/** Any thrown value as data. Errors without a code are defects and say so. */
export function toErrorData(error: unknown): ErrorData {
  if (!(error instanceof Error)) {
    return { code: 'defect', message: `Unexpected: ${String(error)}`, userFixable: false, details: [] };
  }
  const details: string[] = [];
  if ('problems' in error && Array.isArray(error.problems)) {
    for (const problem of error.problems) details.push(problemText(problem));
  } else if ('details' in error && Array.isArray(error.details)) {
    for (const detail of error.details) details.push(String(detail));
  }
  const userFixable = 'userFixable' in error && error.userFixable === true;
  const code = isTyped(error) ? error.code : 'defect';
  return { code, message: error.message, userFixable, details };
}

function problemText(problem: unknown): string {
  if (typeof problem !== 'object' || problem === null) return String(problem);
  const { line, row, field, message } = problem as Record<string, unknown>;
  const where = [
    line === undefined || line === null ? '' : `line ${line}`,
    row === undefined || row === null ? '' : `row ${row}`,
    typeof field === 'string' && field !== '' ? field : '',
  ].filter((part) => part !== '');
  return where.length === 0 ? String(message) : `${where.join(', ')}: ${String(message)}`;
}
