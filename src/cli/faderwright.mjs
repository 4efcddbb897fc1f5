#!/usr/bin/env node
// Plain JavaScript on purpose: an older system Node must be able to read it, and then hand over to the project's own.
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { constants } from 'node:os';
import { fileURLToPath } from 'node:url';

const main = new URL('./main.ts', import.meta.url);
const [major, minor] = process.versions.node.split('.').map(Number);

if (major > 22 || (major === 22 && minor >= 18)) {
  await import(main.href);
} else {
  const own = fileURLToPath(
    new URL(
      process.platform === 'win32' ? '../../node_modules/node/bin/node.exe' : '../../node_modules/node/bin/node',
      import.meta.url,
    ),
  );
  if (!existsSync(own)) {
    console.error(
      `Node ${process.versions.node} is too old for Faderwright and its own Node is not installed. Run "npm ci" first.`,
    );
    process.exit(2);
  }
  const child = spawn(own, [fileURLToPath(main), ...process.argv.slice(2)], { stdio: 'inherit' });
  // The program decides what an interruption means; this one waits for it. A key press comes to both, and counts once.
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal));
  child.on('error', (error) => {
    console.error(`The project's own Node could not be started: ${error.message}. Run "npm ci" again.`);
    process.exitCode = 2;
  });
  child.on('exit', (code, signal) => {
    process.exitCode = code ?? 128 + (signal === null ? 0 : constants.signals[signal]);
  });
}
