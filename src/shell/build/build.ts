/** Builds what is older than its sources: `node src/shell/build/build.ts [all]`. */
import { cpSync, existsSync, mkdirSync, readdirSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type BundleName, bundleFolder, bundles } from './bundles.ts';
import { inTurn } from './turn.ts';

const root = fileURLToPath(new URL('../../../', import.meta.url));
const stampOf = (name: BundleName): string => join(bundleFolder, `.${name}-built`);

const sources: Readonly<Record<BundleName, readonly string[]>> = {
  renderer: [
    'renderer',
    'src/contract',
    'src/law',
    'src/verdict',
    'src/trust',
    'src/fader',
    'src/report',
    'package-lock.json',
  ],
  preload: ['src/shell', 'src/contract'],
  shell: ['src/shell', 'src/contract', 'src/core/launch.ts', 'src/core/places.ts'],
  core: ['src', 'firmware-protocol', 'package-lock.json'],
};

function newestMs(path: string): number {
  const facts = statSync(path, { throwIfNoEntry: false });
  if (facts === undefined) return 0;
  if (!facts.isDirectory()) return facts.mtimeMs;
  return Math.max(facts.mtimeMs, ...readdirSync(path).map((name) => newestMs(join(path, name))));
}

function isStale(name: BundleName): boolean {
  if (!existsSync(stampOf(name))) return true;
  const built = statSync(stampOf(name)).mtimeMs;
  return sources[name].some((source) => newestMs(join(root, source)) > built);
}

/** Builds the named bundles that are older than their sources. Loads the bundler only when there is something to do. */
export async function buildStale(names: readonly BundleName[]): Promise<readonly BundleName[]> {
  if (!names.some(isStale)) return [];
  return inTurn(join(bundleFolder, '.building'), () => buildNow(names.filter(isStale)));
}

/** A report is written from files that lie beside the code that writes it; in the packed core that is the bundle. */
function carryReportFiles(): void {
  cpSync(join(root, 'src/report/browser'), join(bundleFolder, 'browser'), { recursive: true });
}

async function buildNow(stale: readonly BundleName[]): Promise<readonly BundleName[]> {
  if (stale.length === 0) return stale;
  const { build } = await import('vite');
  mkdirSync(bundleFolder, { recursive: true });
  for (const name of stale) {
    const begun = new Date();
    await build(bundles[name]);
    if (name === 'core') carryReportFiles();
    writeFileSync(stampOf(name), '');
    // As of the beginning: a source changed during the build is newer than what was built.
    utimesSync(stampOf(name), begun, begun);
  }
  return stale;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const built = await buildStale(
    process.argv[2] === 'all' ? ['renderer', 'preload', 'shell', 'core'] : ['renderer', 'preload', 'shell'],
  );
  console.log(built.length === 0 ? 'Everything is built.' : `Built ${built.join(', ')}.`);
}
