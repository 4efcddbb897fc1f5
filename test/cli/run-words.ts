/** The real command line in a process of its own, as a shell would start it. */
import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, vi } from 'vitest';

export const checkout = fileURLToPath(new URL('../..', import.meta.url));
const main = join(checkout, 'src', 'cli', 'main.ts');

// Every word starts two or three processes, each in its own time on a busy machine.
vi.setConfig({ testTimeout: 90_000, hookTimeout: 90_000 });

/** Nothing that a failed test left behind may outlive its file. */
const started = new Set<ChildProcess>();
afterAll(() => {
  for (const child of started) child.kill('SIGKILL');
});

export interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

export interface StartedWords {
  readonly child: ChildProcess;
  readonly ended: Promise<Ended>;
  /** Resolves as soon as both outputs together match; rejects with them when the process ends before. */
  said(pattern: RegExp): Promise<string>;
}

export interface Start {
  /** Typed at once, then the input ends; absent = no input at all; null = the input stays open. */
  readonly typed?: string | null;
  readonly cwd?: string;
  readonly command?: readonly string[];
}

export function startWords(words: readonly string[], { typed, cwd = checkout, command }: Start = {}): StartedWords {
  const [program = process.execPath, ...first] = command ?? [process.execPath, main];
  const stdin = typed === undefined ? 'ignore' : 'pipe';
  const child = spawn(program, [...first, ...words], { cwd, stdio: [stdin, 'pipe', 'pipe'] });
  if (typed !== undefined && typed !== null) child.stdin?.end(typed);
  let out = '';
  let err = '';
  let told = '';
  const watchers = new Set<() => void>();
  const take = (bytes: string): void => {
    told += bytes;
    for (const watch of watchers) watch();
  };
  child.stdout?.setEncoding('utf8').on('data', (bytes: string) => {
    out += bytes;
    take(bytes);
  });
  child.stderr?.setEncoding('utf8').on('data', (bytes: string) => {
    err += bytes;
    take(bytes);
  });
  const ended = new Promise<Ended>((resolve) => child.on('close', (code) => resolve({ code, out, err })));
  started.add(child);
  child.on('close', () => started.delete(child));
  return {
    child,
    ended,
    said: (pattern) =>
      new Promise((resolve, reject) => {
        const watch = (): void => {
          const found = pattern.exec(told);
          if (found === null) return;
          watchers.delete(watch);
          resolve(found[1] ?? found[0]);
        };
        watchers.add(watch);
        watch();
        void ended.then(() => reject(new Error(`It ended without saying ${pattern}:\n${told}`)));
      }),
  };
}

export const words = (list: readonly string[], start?: Start): Promise<Ended> => startWords(list, start).ended;

/** A folder whose name needs quoting, removed after the test file. */
export function awkwardFolder(): string {
  return mkdtempSync(join(tmpdir(), 'faderwright prüfung '));
}

export const removeFolder = (path: string): void => rmSync(path, { recursive: true, force: true });
