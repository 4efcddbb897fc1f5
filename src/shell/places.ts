/** Where the shell finds what it starts and where it writes. */
import { existsSync } from 'node:fs';
import { isAbsolute, join } from 'node:path';
import { defaultArchivePath } from '../core/places.ts';

export interface Places {
  /** The built window. */
  readonly renderer: string;
  readonly preload: string;
  readonly coreEntry: string;
  /** The Node that runs the core; null = Electron's own utility process. */
  readonly coreNode: string | null;
}

export interface AppFacts {
  readonly isPackaged: boolean;
  /** The checkout, or the packed app's folder. */
  readonly appPath: string;
  readonly resourcesPath: string;
  /** Electron's Node-API version, as `process.versions.napi`. */
  readonly napi: number;
}

/** The archive's native module needs this Node-API version; an older Electron cannot run the core itself. */
const napiNeeded = 10;

export function places({ isPackaged, appPath, resourcesPath, napi }: AppFacts): Places {
  const built = join(appPath, 'out', 'app');
  const common = { renderer: join(built, 'renderer'), preload: join(built, 'preload.cjs') };
  const nodeName = process.platform === 'win32' ? 'node.exe' : 'node';
  if (!isPackaged) {
    return {
      ...common,
      coreEntry: join(appPath, 'src', 'core', 'main.ts'),
      coreNode: join(appPath, 'node_modules', 'node', 'bin', nodeName),
    };
  }
  // A plain Node cannot read an asar, so the core is unpacked beside it.
  const coreEntry = join(resourcesPath, 'app.asar.unpacked', 'out', 'app', 'core.mjs');
  const carriedNode = join(resourcesPath, nodeName);
  return { ...common, coreEntry, coreNode: napi < napiNeeded && existsSync(carriedNode) ? carriedNode : null };
}

type Environment = Readonly<Record<string, string | undefined>>;

/** A folder of one's own for settings, logs and archive (FADERWRIGHT_FOLDER): several stations on one machine, or a stick. */
export function userFolder(env: Environment): string | null {
  const folder = env.FADERWRIGHT_FOLDER;
  return folder !== undefined && isAbsolute(folder) ? folder : null;
}

/** FADERWRIGHT_ARCHIVE, else the own folder's, else the one that the command line uses too. */
export function archivePlace(env: Environment, ownFolder: string | null): string {
  const named = env.FADERWRIGHT_ARCHIVE;
  if (named !== undefined && named !== '') return named;
  return ownFolder === null ? defaultArchivePath() : join(ownFolder, 'bench.sqlite');
}
