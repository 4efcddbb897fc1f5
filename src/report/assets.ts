/** The files that are written into a report: the chart library, the page's own script and its style. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** A file that belongs to the program is not there: the installation is incomplete. */
export class ReportAssetMissing extends Error {
  override readonly name = 'ReportAssetMissing';
  readonly code = 'reportAssetMissing';
  readonly userFixable = true;
  constructor(asset: string, cause: unknown) {
    super(`The report cannot be made: ${asset} is missing from this installation. Run "npm ci" and try again.`, {
      cause,
    });
  }
}

export interface ReportAssets {
  readonly chartLibrary: string;
  readonly pageScript: string;
  readonly pageStyle: string;
}

const read = (asset: string, locate: () => string): string => {
  try {
    return readFileSync(locate(), 'utf8');
  } catch (cause) {
    throw new ReportAssetMissing(asset, cause);
  }
};

const beside = (name: string) => (): string => fileURLToPath(new URL(`./browser/${name}`, import.meta.url));

// The browser build is not among the package's exports, but it lies beside the build that is.
const chartLibraryPath = (): string =>
  join(dirname(createRequire(import.meta.url).resolve('chart.js')), 'chart.umd.min.js');

const pageScripts = ['ground.js', 'marks.js', 'curves.js', 'counts.js', 'page.js'];
const pageStyles = ['sheet.css', 'charts.css', 'tables.css', 'media.css'];

const joined = (names: readonly string[]): string =>
  names.map((name) => read(`src/report/browser/${name}`, beside(name)).trim()).join('\n');

let loaded: ReportAssets | null = null;

/** Read once per process. @throws ReportAssetMissing */
export function reportAssets(): ReportAssets {
  loaded ??= {
    // A source map would be looked for beside the report.
    chartLibrary: read('chart.js', chartLibraryPath)
      .replace(/^\/\/# sourceMappingURL=.*$/m, '')
      .trim(),
    pageScript: joined(pageScripts),
    pageStyle: joined(pageStyles),
  };
  return loaded;
}

let trim: string | null = null;

/** The style of the trimming report, read once per process. @throws ReportAssetMissing */
export function trimStyle(): string {
  trim ??= joined(['sheet.css', 'trim.css', 'media.css']);
  return trim;
}
