/**
 * `npm run package`: the app, packed. Without words an unpacked folder for this system; with electron-builder's own words
 * (`npm run package -- --linux AppImage deb`) what they name.
 */
import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { SetupError } from '../setup/errors.ts';
import { type ElectronRuntime, electronRuntime } from '../setup/runtime.ts';
import { runTool } from '../setup/tool.ts';
import { buildStale } from './build.ts';

const checkout = fileURLToPath(new URL('../../../', import.meta.url));
const systemWords: Readonly<Partial<Record<NodeJS.Platform, string>>> = {
  linux: '--linux',
  darwin: '--mac',
  win32: '--win',
};

export class PackageRefusedError extends SetupError {
  constructor(message: string) {
    super('PACKAGE_REFUSED', message, { userFixable: true });
  }
}

/**
 * electron-builder's words for this runtime.
 * @param overrideFile configuration that only a test app needs
 * @throws PackageRefusedError when something for users is asked for and only the fallback runtime is there
 */
export function packageWords(
  words: readonly string[],
  runtime: Pick<ElectronRuntime, 'isFallback' | 'distPath' | 'electronVersion'>,
  { platform, overrideFile }: { readonly platform: NodeJS.Platform; readonly overrideFile: string },
): readonly string[] {
  const system = systemWords[platform];
  if (system === undefined)
    throw new PackageRefusedError(`Packing on ${platform} is not prepared. Use Linux, macOS or Windows.`);
  const wanted = words.length === 0 ? [system, 'dir'] : words;
  const isFolderOnly = wanted.includes('dir') && wanted.every((word) => word === 'dir' || word.startsWith('--'));
  if (runtime.isFallback && !isFolderOnly) {
    throw new PackageRefusedError(
      `Only the older fallback runtime (Electron ${runtime.electronVersion}) is here, which is for development and tests. ` +
        'Nothing for users is made of it: run "npm run runtime" where Electron\u2019s release host answers, then pack again.',
    );
  }
  return [
    ...wanted,
    '--publish',
    'never',
    '--config',
    runtime.isFallback ? overrideFile : join(checkout, 'electron-builder.yml'),
    `-c.electronDist=${runtime.distPath}`,
    `-c.electronVersion=${runtime.electronVersion}`,
  ];
}

/**
 * The fallback runtime cannot run the core's database module, so a plain Node is packed beside it; and its fuses stay as they
 * are, because a test has to look inside.
 */
function fallbackConfiguration(nodeBinary: string): object {
  return {
    extends: join(checkout, 'electron-builder.yml'),
    extraResources: [{ from: nodeBinary, to: 'node' }],
    electronFuses: null,
    extraMetadata: { description: 'Test build with an old runtime: not for use' },
  };
}

async function pack(words: readonly string[]): Promise<void> {
  const runtime = await electronRuntime({ say: (line) => console.error(line) });
  const nodeBinary = join(checkout, 'node_modules', 'node', 'bin', 'node');
  const overrideFile = join(checkout, 'out', 'electron-builder-fallback.json');
  const builderWords = packageWords(words, runtime, { platform: process.platform, overrideFile });
  const built = await buildStale(['renderer', 'preload', 'shell', 'core']);
  if (built.length > 0) console.error(`Built ${built.join(', ')}.`);
  mkdirSync(join(checkout, 'out'), { recursive: true });
  if (runtime.isFallback && existsSync(nodeBinary)) {
    writeFileSync(overrideFile, JSON.stringify(fallbackConfiguration(nodeBinary), null, 2));
  }
  rmSync(join(checkout, 'out', 'package'), { recursive: true, force: true });
  const builder = createRequire(import.meta.url).resolve('electron-builder/cli.js');
  await runTool(process.execPath, [builder, ...builderWords], { cwd: checkout });
  console.error(`Packed into ${join(checkout, 'out', 'package')}.`);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  try {
    await pack(process.argv.slice(2));
  } catch (error) {
    if (!(error instanceof SetupError)) throw error;
    console.error(error.message);
    process.exitCode = 1;
  }
}
