/** Where the command line writes: results on stdout, progress and errors on stderr, JSON on request. */
import type { ErrorData } from '../contract/errors.ts';

export interface Terminal {
  readonly json: boolean;
  /** True when progress may redraw its line and colour may be used. */
  readonly live: boolean;
  print(text: string): void;
  printJson(value: unknown): void;
  progress(text: string): void;
  endProgress(): void;
  complain(error: ErrorData): void;
}

export function openTerminal(json: boolean): Terminal {
  const live = process.stderr.isTTY === true && !json;
  let drawn = false;
  const clear = (): void => {
    if (drawn) process.stderr.write('\r\x1b[2K');
    drawn = false;
  };
  return {
    json,
    live,
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
      process.stderr.write(`\r\x1b[2K${text.slice(0, width - 1)}`);
      drawn = true;
    },
    endProgress: clear,
    complain(error) {
      clear();
      if (json) {
        process.stdout.write(`${JSON.stringify({ error }, null, 2)}\n`);
        return;
      }
      process.stderr.write(`${error.message}\n`);
      for (const detail of error.details.slice(0, 40)) process.stderr.write(`  - ${detail}\n`);
      if (error.details.length > 40) process.stderr.write(`  ... and ${error.details.length - 40} more\n`);
      process.stderr.write(`(${error.code})\n`);
    },
  };
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
