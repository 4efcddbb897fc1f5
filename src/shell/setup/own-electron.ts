import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { runTool } from './tool.ts';

/** A runtime that is ready to be started. */
export interface FoundElectron {
  /** The file to start. */
  readonly executable: string;
  /** The folder that ELECTRON_OVERRIDE_DIST_PATH and electron-builder's electronDist take. */
  readonly distPath: string;
  /** E.g. `45.5.0`. */
  readonly electronVersion: string;
}

// A slow line may need minutes for 110 MB; a line that leads nowhere ends by itself much earlier.
const installLimitMs = 10 * 60_000;

function packageFolder(): string {
  return dirname(createRequire(import.meta.url).resolve('electron/package.json'));
}

/** What Electron's own package has installed, or `null`. Never fetches. */
export function findOwnElectron(): FoundElectron | null {
  const folder = packageFolder();
  const distPath = join(folder, 'dist');
  const pathFile = join(folder, 'path.txt');
  if (!existsSync(pathFile)) return null;
  const executable = join(distPath, readFileSync(pathFile, 'utf8').trim());
  const versionFile = join(distPath, 'version');
  if (!existsSync(executable) || !existsSync(versionFile)) return null;
  return { executable, distPath, electronVersion: readFileSync(versionFile, 'utf8').trim().replace(/^v/, '') };
}

/** Lets Electron's own installer fetch the binary; it checks the checksums that come with the package. */
export async function installOwnElectron(limitMs: number = installLimitMs): Promise<FoundElectron | null> {
  const env = { ...process.env };
  // With an override set the installer would look there and fetch nothing.
  delete env.ELECTRON_OVERRIDE_DIST_PATH;
  delete env.ELECTRON_RUN_AS_NODE;
  await runTool(process.execPath, [join(packageFolder(), 'install.js')], { env, limitMs });
  return findOwnElectron();
}
