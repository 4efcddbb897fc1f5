/** Where the command line writes: results on stdout, progress and errors on stderr, JSON on request. */
import type { ErrorData } from '../contract/errors.ts';

export interface Terminal {
  readonly json: boolean;
  /** True when progress may redraw its line and colour may be used. */
  readonly live: boolean;
  /** A result for a person; nothing in JSON. */
  print(text: string): void;
  printJson(value: unknown): void;
  /** Something the person at the bench must know now, in JSON too. */
  tell(text: string): void;
  progress(text: string): void;
  endProgress(): void;
  /** The command ends with this error. */
  complain(error: ErrorData): void;
  /** The command goes on in spite of this error. */
  tellOf(error: ErrorData): void;
}

const detailsShown = 40;

export function openTerminal(json: boolean): Terminal {
  const live = process.stderr.isTTY === true && !json;
  let drawn = false;
  const clear = (): void => {
    if (drawn) process.stderr.write('\r\x1b[2K');
    drawn = false;
  };
  const tell = (text: string): void => {
    clear();
    process.stderr.write(`${text}\n`);
  };
  const tellOf = ({ code, message, details }: ErrorData): void => {
    tell(visible(details.length === 0 ? message : headOf(message, details)));
    for (const detail of details.slice(0, detailsShown)) tell(`  - ${visible(detail)}`);
    if (details.length > detailsShown) tell(`  ... and ${details.length - detailsShown} more`);
    tell(`(${code})`);
  };
  return {
    json,
    live,
    tell,
    tellOf,
    print(text) {
      clear();
      if (!json) process.stdout.write(`${text}\n`);
    },
    printJson(value) {
      clear();
      if (json) process.stdout.write(`${JSON.stringify(value, null, 2)}\n`);
    },
    progress(text) {
      if (!live) return;
      const width = process.stderr.columns ?? 80;
      process.stderr.write(`\r\x1b[2K${visible(text).slice(0, width - 1)}`);
      drawn = true;
    },
    endProgress: clear,
    complain(error) {
      clear();
      if (json) process.stdout.write(`${JSON.stringify({ error }, null, 2)}\n`);
      else tellOf(error);
    },
  };
}

/** A message that repeats its details shows them once: what comes before the first of them. */
function headOf(message: string, [first = '']: readonly string[]): string {
  const text = first.replace(/^[\w., -]{1,60}: /, '');
  const at = text === '' ? -1 : message.indexOf(text);
  return at <= 0 ? message : message.slice(0, at).replace(/\s*(line \d+:)?\s*$/i, '');
}

/** Text from outside, unable to steer the terminal it is shown on. */
export function visible(text: string): string {
  return text.toWellFormed().replace(/[\p{Cc}\p{Cf}]/gu, (character) => (character === '\n' ? '\n' : '\u{FFFD}'));
}

/** A path as it may be pasted into a shell. */
export function pasteable(path: string): string {
  return /^[\w@%+=:,./\\-]+$/.test(path) ? path : `"${path.replace(/(["$`\\])/g, '\\$1')}"`;
}

/** `1 min 05 s`, `12 s`: time left as a person says it. */
export function spokenTime(ms: number): string {
  const seconds = Math.max(0, Math.round(ms / 1000));
  if (seconds < 60) return `${seconds} s`;
  return `${Math.floor(seconds / 60)} min ${String(seconds % 60).padStart(2, '0')} s`;
}

/** A bar of 20 places for a fraction 0..1. */
export function bar(fraction: number): string {
  const filled = Math.round(Math.min(1, Math.max(0, fraction)) * 20);
  return `${'━'.repeat(filled)}${'╌'.repeat(20 - filled)}`;
}
