/**
 * `npm start`: the window from a checkout. Fetches the runtime if it is missing, builds what is stale, starts Electron.
 * Words after `--` go to Electron.
 */
import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { SetupError } from '../setup/errors.ts';
import { electronRuntime } from '../setup/runtime.ts';
import { buildStale } from './build.ts';

const checkout = fileURLToPath(new URL('../../../', import.meta.url));

export interface StartFacts {
  readonly platform: NodeJS.Platform;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly words: readonly string[];
  readonly isRoot: boolean;
  /** Linux: whether this system lets programs make the name spaces that the sandbox needs. */
  readonly mayMakeNamespaces: boolean;
}

/** Why no window can open here and what to do, or null. */
export function startRefusal({ platform, env, words, isRoot, mayMakeNamespaces }: StartFacts): string | null {
  if (platform !== 'linux') return null;
  if (!env.DISPLAY && !env.WAYLAND_DISPLAY) {
    return 'There is no display here. Start it in a desktop session, or without a screen: xvfb-run -a npm start';
  }
  if (words.includes('--no-sandbox')) return null;
  if (isRoot) {
    return (
      'The window does not run as root, because its sandbox cannot. Start it as an ordinary user. ' +
      'In a container that is thrown away: npm start -- --no-sandbox'
    );
  }
  if (!mayMakeNamespaces) {
    return (
      'This system forbids the name spaces that the window\u2019s sandbox needs. Ask its administrator to allow them ' +
      '(sysctl kernel.apparmor_restrict_unprivileged_userns=0, or kernel.unprivileged_userns_clone=1), then start again.'
    );
  }
  return null;
}

function mayMakeNamespaces(): boolean {
  const read = (name: string): string | null => {
    try {
      return readFileSync(`/proc/sys/kernel/${name}`, 'utf8').trim();
    } catch {
      // This kernel does not know the switch, so it does not forbid.
      return null;
    }
  };
  return read('unprivileged_userns_clone') !== '0' && read('apparmor_restrict_unprivileged_userns') !== '1';
}

/** The environment for Electron: a variable left over from a program inside Electron would make it a plain Node. */
export function electronEnv(env: NodeJS.ProcessEnv): NodeJS.ProcessEnv {
  const { ELECTRON_RUN_AS_NODE: _inherited, NODE_OPTIONS: _options, ...rest } = env;
  return rest;
}

async function start(words: readonly string[]): Promise<number> {
  const refusal = startRefusal({
    platform: process.platform,
    env: process.env,
    words,
    isRoot: process.getuid?.() === 0,
    mayMakeNamespaces: process.platform !== 'linux' || mayMakeNamespaces(),
  });
  if (refusal !== null) {
    console.error(refusal);
    return 1;
  }
  const say = (line: string): void => console.error(line);
  const { executable } = await electronRuntime({ say });
  await buildStale(['renderer', 'preload', 'shell']);
  const window = spawn(executable, [checkout, ...words], { stdio: 'inherit', env: electronEnv(process.env) });
  // Ctrl-C reaches the window too; it stops what moves and ends, and its end is awaited.
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => window.kill(signal));
  return new Promise((resolve, reject) => {
    window.once('error', reject);
    window.once('exit', (code) => resolve(code ?? 1));
  });
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  try {
    process.exitCode = await start(process.argv.slice(2));
  } catch (error) {
    if (!(error instanceof SetupError)) throw error;
    console.error(error.message);
    process.exitCode = 1;
  }
}
