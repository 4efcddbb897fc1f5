#!/usr/bin/env node
// Plain JavaScript on purpose: an older system Node must be able to read it, and then hand over to the project's own.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const main = fileURLToPath(new URL('./main.ts', import.meta.url));
const [major, minor] = process.versions.node.split('.').map(Number);

if (major > 22 || (major === 22 && minor >= 18)) {
  await import(main);
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
  const result = spawnSync(own, [main, ...process.argv.slice(2)], { stdio: 'inherit' });
  process.exit(result.status ?? 1);
}
