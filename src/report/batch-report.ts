/**
 * The report on a batch: one HTML file that needs nothing else, now or in ten years. No network, no foreign
 * code: a content policy allows exactly the scripts and the style written here, by their hashes.
 */
import { createHash } from 'node:crypto';
import type { RunRecord } from '../archive/records.ts';
import type { LawData } from '../law/law.ts';
import type { Calibration } from '../trust/calibration.ts';
import { reportAssets } from './assets.ts';
import { gatherFaders } from './batch-faders.ts';
import { chartData } from './chart-data.ts';
import { escapeHtml, scriptJson } from './escape.ts';
import { darkPalette, labelFonts, lightPalette, paletteCss } from './palette.ts';
import { chartsHtml } from './sections/charts.ts';
import { detailsHtml } from './sections/details.ts';
import { fadersHtml } from './sections/faders.ts';
import { guideHtml } from './sections/guide.ts';
import { headHtml } from './sections/head.ts';
import { shapeSymbols, verdictOrder, verdictStyles } from './words.ts';

export interface BatchReportInput {
  readonly title: string;
  /** Name of the batch; null = the runs belong to none. */
  readonly batch: string | null;
  readonly law: LawData;
  /** Any order; several runs of one serial are one fader measured again. */
  readonly runs: readonly RunRecord[];
  /** The calibration behind the runs; null = none is known. */
  readonly calibration: Calibration | null;
  readonly programVersion: string;
  /** ISO 8601 UTC, handed in. */
  readonly madeAt: string;
  /** Marks the whole report as a simulation; a run on a virtual rig marks it too. */
  readonly isVirtual: boolean;
  /** Sentences of the caller that belong to the notices, plain text. */
  readonly notes?: readonly string[];
}

const policyHash = (text: string): string => `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`;

/** The content policy that allows just these inline scripts and this inline style. */
const contentPolicy = (scripts: readonly string[], style: string): string =>
  [
    `default-src 'none'`,
    `script-src ${scripts.map(policyHash).join(' ')}`,
    `style-src ${policyHash(style)}`,
    `base-uri 'none'`,
    `form-action 'none'`,
  ].join('; ');

const verdictLook = () =>
  Object.fromEntries(
    verdictOrder.map((word) => {
      const { shape, lineDash, lineWidthPx } = verdictStyles[word];
      return [word, { shape, lineDash, lineWidthPx }];
    }),
  );

/**
 * Renders the report. Pure but for reading the program's own files once.
 * @returns a whole HTML document
 * @throws ReportAssetMissing when the installation is incomplete
 */
export function renderBatchReport(input: BatchReportInput): string {
  const { law, runs } = input;
  const assets = reportAssets();
  const style = `${paletteCss()}\n${assets.pageStyle}`;
  const scripts = [assets.chartLibrary, assets.pageScript];
  const gathered = gatherFaders(runs, law);
  const isVirtual = input.isVirtual || runs.some((run) => run.rig?.isVirtual === true);
  const charts = chartData(gathered, law);
  const data = {
    charts,
    look: verdictLook(),
    order: verdictOrder,
    colours: { light: lightPalette, dark: darkPalette },
    labelFonts,
  };
  const head = headHtml({ ...input, notes: input.notes ?? [], gathered, isVirtual });
  // Without a fader there is nothing to draw, so the library stays out.
  const scriptsHtml =
    gathered.faders.length === 0
      ? ''
      : `<script type="application/json" id="report-data">${scriptJson(data)}</script>\n${scripts.map((script) => `<script>${script}</script>`).join('\n')}`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${contentPolicy(scripts, style)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<meta name="generator" content="Faderwright ${escapeHtml(input.programVersion)}">
<title>${escapeHtml(input.title)}</title>
<style>${style}</style>
</head>
<body>
${shapeSymbols()}
<main>
${head}
${chartsHtml(gathered, law, charts)}
${fadersHtml(gathered, law)}
${guideHtml()}
${detailsHtml(gathered, law)}
<footer><p>Written by Faderwright ${escapeHtml(input.programVersion)}. A pass says that the fader kept its law on this rig, on this day; it is no approval of the equipment it is built into.</p></footer>
</main>
${scriptsHtml}
</body>
</html>
`;
}
