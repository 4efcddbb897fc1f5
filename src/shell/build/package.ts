/**
 * `npm run package`: the app, packed. Without words an unpacked folder for this system; with electron-builder's own words
 * (`npm run package -- --linux AppImage deb`) what they name.
 */
import { rmSync, writeFileSync } from 'node:fs';
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

export interface PackagePlan {
  /** electron-builder's words. */
  readonly words: readonly string[];
  /** Written to `configurationFile`, on top of electron-builder.yml. */
  readonly configuration: object;
  readonly output: string;
}

/** Packs a folder that a test can look into: inspect arguments stay possible. Never for users. */
export const forTests = '--for-tests';

export interface PackageFacts {
  readonly platform: NodeJS.Platform;
  readonly checkout: string;
  readonly configurationFile: string;
}

/**
 * What is packed, of which words.
 * @throws PackageRefusedError when something for users is asked for and only the fallback runtime is there
 */
export function packagePlan(
  words: readonly string[],
  runtime: Pick<ElectronRuntime, 'isFallback' | 'distPath' | 'electronVersion'>,
  { platform, checkout: from, configurationFile }: PackageFacts,
): PackagePlan {
  const system = systemWords[platform];
  if (system === undefined) {
    throw new PackageRefusedError(`Packing on ${platform} is not prepared. Use Linux, macOS or Windows.`);
  }
  const isTest = words.includes(forTests);
  const wanted = isTest || words.length === 0 ? [system, 'dir'] : words;
  const isFolderOnly = wanted.includes('dir') && wanted.every((word) => word === 'dir' || word.startsWith('--'));
  if (runtime.isFallback && !isFolderOnly) {
    throw new PackageRefusedError(
      `Only the older fallback runtime (Electron ${runtime.electronVersion}) is here, which is for development and tests. ` +
        'Nothing for users is made of it: run "npm run runtime" where Electron\u2019s release host answers, then pack again.',
    );
  }
  const output = join(from, 'out', isTest ? 'package-for-tests' : 'package');
  return {
    words: [...wanted, '--publish', 'never', '--config', configurationFile],
    configuration: {
      extends: join(from, 'electron-builder.yml'),
      directories: { output },
      electronDist: runtime.distPath,
      electronVersion: runtime.electronVersion,
      // The fallback is too old for the core's database module: a plain Node is packed beside it.
      ...(runtime.isFallback
        ? { extraResources: [{ from: join(from, 'node_modules', 'node', 'bin', 'node'), to: 'node' }] }
        : {}),
      ...(isTest ? { electronFuses: null } : {}),
    },
    output,
  };
}

async function pack(words: readonly string[]): Promise<void> {
  const runtime = await electronRuntime({ say: (line) => console.error(line) });
  const configurationFile = join(checkout, 'out', `electron-builder-${process.pid}.json`);
  const plan = packagePlan(words, runtime, { platform: process.platform, checkout, configurationFile });
  const built = await buildStale(['renderer', 'preload', 'shell', 'core']);
  if (built.length > 0) console.error(`Built ${built.join(', ')}.`);
  rmSync(plan.output, { recursive: true, force: true });
  writeFileSync(configurationFile, JSON.stringify(plan.configuration, null, 2));
  try {
    const builder = createRequire(import.meta.url).resolve('electron-builder/cli.js');
    await runTool(process.execPath, [builder, ...plan.words], { cwd: checkout });
  } finally {
    rmSync(configurationFile, { force: true });
  }
  const kind = runtime.isFallback ? ', with the fallback runtime: for looking at, not for use' : '';
  console.error(`Packed into ${plan.output}${kind}.`);
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
