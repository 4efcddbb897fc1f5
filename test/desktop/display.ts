/** A screen for windows on a machine that has none: Xvfb on a display number that it finds free itself. */
import { type ChildProcess, spawn } from 'node:child_process';

export interface TestDisplay {
  /** As DISPLAY wants it, e.g. `:99`. */
  readonly name: string;
  stop(): Promise<void>;
}

/** @throws Error when Xvfb is missing or does not start; `npm run setup` installs it. */
export async function startDisplay(): Promise<TestDisplay> {
  const server = spawn('Xvfb', ['-displayfd', '3', '-screen', '0', '1920x1080x24', '-nolisten', 'tcp', '-noreset'], {
    stdio: ['ignore', 'ignore', 'pipe', 'pipe'],
  });
  const name = `:${await displayNumber(server)}`;
  return { name, stop: () => end(server) };
}

function displayNumber(server: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let number = '';
    let words = '';
    server.stderr?.setEncoding('utf8').on('data', (text: string) => {
      words += text;
    });
    // It writes the number and a line end as soon as windows can be opened.
    (server.stdio[3] as NodeJS.ReadableStream).setEncoding('utf8').on('data', (text: string) => {
      number += text;
      if (number.endsWith('\n')) resolve(number.trim());
    });
    server.once('error', (cause) =>
      reject(new Error(`Xvfb cannot be started: ${cause.message}. Run "npm run setup".`, { cause })),
    );
    server.once('exit', (code) => reject(new Error(`Xvfb ended with code ${code}: ${words}`)));
  });
}

async function end(server: ChildProcess): Promise<void> {
  if (server.exitCode !== null || server.signalCode !== null) return;
  const ended = new Promise<void>((resolve) => server.once('exit', () => resolve()));
  server.kill();
  await ended;
}
