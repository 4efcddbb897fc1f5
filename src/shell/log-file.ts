/** A log that a person can find and send: one file a start, the newest ten kept, none larger than a mail takes. */
import { appendFileSync, mkdirSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';

export interface LogFile {
  readonly folder: string;
  /** Never throws: a full disk must not take the window down as well. */
  write(subject: string, text: string): void;
}

const filesKept = 10;
export const largestLogBytes = 5_000_000;

export function openLog(folder: string, now: () => Date): LogFile {
  mkdirSync(folder, { recursive: true });
  const path = join(folder, `faderwright-${now().toISOString().slice(0, 19).replace(/[:T]/g, '-')}.log`);
  const old = readdirSync(folder)
    .filter((file) => /^faderwright-.*\.log$/.test(file))
    .sort();
  for (const file of old.slice(0, Math.max(0, old.length - filesKept + 1))) rmSync(join(folder, file), { force: true });
  let bytes = 0;
  let isFull = false;

  function append(line: string): void {
    try {
      appendFileSync(path, line);
      bytes += Buffer.byteLength(line);
    } catch (error) {
      // Where the log itself cannot be written, the terminal is all that is left.
      process.stderr.write(`${line}(not logged: ${String(error)})\n`);
    }
  }

  return {
    folder,
    write(subject, text) {
      if (isFull) return;
      append(`${now().toISOString()} ${subject}: ${text.trimEnd().replaceAll('\n', '\n    ')}\n`);
      if (bytes < largestLogBytes) return;
      isFull = true;
      append(`${now().toISOString()} log: ${largestLogBytes} bytes reached, the rest of this start is not logged\n`);
    },
  };
}
