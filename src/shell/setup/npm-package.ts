import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { PackageIntegrityError, ToolFailedError } from './errors.ts';
import { runTool } from './tool.ts';

/** Integrity of a file in the registry's notation, `sha512-` and base64. */
export async function fileIntegrity(file: string): Promise<string> {
  const hash = createHash('sha512');
  await pipeline(createReadStream(file), hash);
  return `sha512-${hash.digest('base64')}`;
}

/** The integrity the registry states for `name@version`, through the ordinary npm client and its settings. */
export async function registryIntegrity(spec: string): Promise<string> {
  const text = (await runTool('npm', ['view', spec, 'dist.integrity'], { limitMs: 120_000 })).trim();
  if (!text.startsWith('sha512-')) {
    throw new ToolFailedError(`The npm registry states no sha512 integrity for ${spec} (it said "${text}").`);
  }
  return text;
}

/**
 * Fetches `name@version` as a .tgz into `folder` and returns the file's path. The file must have the integrity that
 * the registry states and the one known to this program: either alone could be changed together with the file.
 */
export async function fetchPackage(spec: string, knownIntegrity: string, folder: string): Promise<string> {
  const stated = await registryIntegrity(spec);
  if (stated !== knownIntegrity) {
    throw new PackageIntegrityError(
      `The npm registry states another integrity for ${spec} than the one this program was tested with. ` +
        `Nothing was fetched. Check the registry setting of npm.`,
    );
  }
  const printed = await runTool('npm', ['pack', '--silent', '--ignore-scripts', '--pack-destination', folder, spec]);
  const name = printed.trim().split('\n').at(-1) ?? '';
  if (name === '') throw new ToolFailedError(`npm pack ${spec} named no file.`);
  const file = join(folder, name);
  const found = await fileIntegrity(file);
  if (found !== knownIntegrity) {
    throw new PackageIntegrityError(`The fetched file of ${spec} is damaged (${found}). Run the command again.`);
  }
  return file;
}
