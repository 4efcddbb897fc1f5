import { spawn } from 'node:child_process';
import { ToolFailedError } from './errors.ts';

export interface ToolOptions {
  readonly cwd?: string;
  readonly env?: NodeJS.ProcessEnv;
  /** After this many milliseconds the program is ended and counted as failed. */
  readonly limitMs?: number;
}

/** Runs a program to its end and gives back its standard output; any failure is a {@link ToolFailedError}. */
export function runTool(program: string, words: readonly string[], options: ToolOptions = {}): Promise<string> {
  const shown = [program, ...words].join(' ');
  return new Promise((resolve, reject) => {
    const child = spawn(program, words, {
      cwd: options.cwd,
      env: options.env ?? process.env,
      stdio: ['ignore', 'pipe', 'pipe'],
      ...(options.limitMs === undefined ? {} : { timeout: options.limitMs, killSignal: 'SIGKILL' as const }),
    });
    let output = '';
    let complaints = '';
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      output += text;
    });
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      complaints = (complaints + text).slice(-4000);
    });
    child.once('error', (cause) => {
      reject(new ToolFailedError(`"${program}" could not be started: ${cause.message}.`, cause));
    });
    child.once('close', (code, signal) => {
      if (code === 0) {
        resolve(output);
        return;
      }
      const why = signal === null ? `ended with code ${code}` : `was ended by ${signal}`;
      const lastWords = complaints.trim().split('\n').slice(-3).join(' | ');
      reject(new ToolFailedError(`"${shown}" ${why}${lastWords === '' ? '.' : `: ${lastWords}`}`));
    });
  });
}
