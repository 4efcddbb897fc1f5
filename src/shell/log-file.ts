/** A log that a person can find and send: one file a start, the newest ten kept. */
import { appendFileSync, mkdirSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';

export interface LogFile {
  readonly folder: string;
  write(subject: string, text: string): void;
}

const filesKept = 10;

export function openLog(folder: string, now: () => Date): LogFile {
  mkdirSync(folder, { recursive: true });
  const name = `faderwright-${now().toISOString().slice(0, 19).replace(/[:T]/g, '-')}.log`;
  const old = readdirSync(folder)
    .filter((file) => /^faderwright-.*\.log$/.test(file))
    .sort();
  for (const file of old.slice(0, Math.max(0, old.length - filesKept + 1))) rmSync(join(folder, file), { force: true });
  return {
    folder,
    write(subject, text) {
      appendFileSync(join(folder, name), `${now().toISOString()} ${subject}: ${text.replaceAll('\n', '\n    ')}\n`);
    },
  };
}
