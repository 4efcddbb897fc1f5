/**
 * The report on a trimming batch: one HTML file that needs nothing else and runs no script. Per piece: before, after, cuts.
 */
import { createHash } from 'node:crypto';
import { trimStyle } from './assets.ts';
import { escapeHtml } from './escape.ts';
import { count, dateTime, fixed, ohm, share } from './format.ts';
import { paletteCss } from './palette.ts';
import { trimDrawing } from './sections/trim-drawing.ts';
import type { TrimmedPass, TrimmedPiece, TrimReportInput } from './trim-input.ts';
import { shapeSymbols, verdictHtml } from './words.ts';

/** @returns a whole HTML document @throws ReportAssetMissing when the installation is incomplete */
export function renderTrimReport(input: TrimReportInput): string {
  const { law, pieces } = input;
  const style = `${paletteCss()}\n${trimStyle()}`;
  const hash = createHash('sha256').update(style, 'utf8').digest('base64');
  const policy = `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`;
  const isVirtual = pieces.some(({ before, after }) => before.rig?.isVirtual === true || after.rig?.isVirtual === true);
  const stamp = isVirtual ? '<p class="stamp">Virtual rig<span>no real film was cut</span></p>' : '';
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<meta name="generator" content="Faderwright ${escapeHtml(input.programVersion)}">
<title>${escapeHtml(input.title)}</title>
<style>${style}</style>
</head>
<body>
${shapeSymbols()}
<main>
<header><div class="title"><div><h1>${escapeHtml(input.title)}</h1>
<p class="lead">${count(pieces.length, 'piece')} trimmed towards law ${escapeHtml(law.id)} revision ${law.revision}</p></div>${stamp}</div>
${figuresHtml(input)}</header>
${piecesTable(pieces)}
${pieces.map((piece) => pieceHtml(piece, input)).join('\n')}
<footer><p>Batch ${escapeHtml(input.batch)}. Written by Faderwright ${escapeHtml(input.programVersion)}, ${escapeHtml(dateTime(input.madeAt))}. The cuts stand as they were asked for and acknowledged; how deep the tool really went is known only by what the measurement after it shows.</p></footer>
</main>
</body>
</html>
`;
}

function figuresHtml({ pieces, gain, firstPassShare, medianTookMs }: TrimReportInput): string {
  const broughtIn = pieces.filter(({ state, passes }) => state === 'accepted' && passes.length > 0).length;
  const asTheyWere = pieces.filter(({ state, passes }) => state === 'accepted' && passes.length === 0).length;
  const hopeless = pieces.filter(({ state }) => state === 'hopeless').length;
  const figure = (name: string, value: string): string => `<div><dt>${name}</dt><dd>${value}</dd></div>`;
  return `<dl class="figures">${[
    figure('brought in', String(broughtIn)),
    figure('right as they were', String(asTheyWere)),
    figure('hopeless', String(hopeless)),
    figure('ended or open', String(pieces.length - broughtIn - asTheyWere - hopeless)),
    figure('in the first pass', firstPassShare === null ? '–' : share(firstPassShare, 1)),
    figure(
      'gain of the tool',
      gain === null ? '–' : `${fixed(gain.mean, 2)} <small>± ${fixed(2 * gain.sd, 2)}</small>`,
    ),
    figure('time per piece', medianTookMs === null ? '–' : `${fixed(medianTookMs / 1000, 0)} s`),
  ].join('')}</dl>`;
}

const totalOf = ({ checks }: TrimmedPiece['before']): number | null =>
  checks.find(({ name }) => name === 'totalResistance')?.value ?? null;

const ofLimit = (used: number | null): string => (used === null ? '–' : `${fixed(used * 100, 0)} %`);

const cutCount = (passes: readonly TrimmedPass[]): number => passes.reduce((sum, { cuts }) => sum + cuts.length, 0);

function piecesTable(pieces: readonly TrimmedPiece[]): string {
  const rows = pieces.map(
    (piece, index) =>
      `<tr><td class="text"><a href="#piece-${index + 1}">${escapeHtml(piece.serial)}</a></td>` +
      `<td class="text">${piece.firstSort ?? '–'}</td><td class="text">${escapeHtml(piece.state)}</td>` +
      `<td class="text">${verdictHtml(piece.before.verdict)}</td><td class="text">${verdictHtml(piece.after.verdict)}</td>` +
      `<td>${ofLimit(piece.worstBeforeShare)}</td><td>${ofLimit(piece.worstAfterShare)}</td>` +
      `<td>${ohm(totalOf(piece.before))}</td><td>${ohm(totalOf(piece.after))}</td>` +
      `<td>${piece.passes.length}</td><td>${cutCount(piece.passes)}</td><td>${fixed(piece.removalMm2, 1)}</td></tr>`,
  );
  return `<table class="pieces"><thead><tr><th class="text">piece</th><th class="text">sort</th><th class="text">end</th>
<th class="text">before</th><th class="text">after</th><th>of the limit before</th><th>after</th>
<th>total before, Ω</th><th>total after, Ω</th><th>passes</th><th>cuts</th><th>film, mm²</th></tr></thead>
<tbody>${rows.join('\n')}</tbody></table>`;
}

function pieceHtml(piece: TrimmedPiece, { pieces, law }: TrimReportInput): string {
  const isCut = cutCount(piece.passes) > 0;
  return `<section class="piece" id="piece-${pieces.indexOf(piece) + 1}">
<h2>${escapeHtml(piece.serial)}</h2>
<p>${escapeHtml(piece.sentence)}</p>
<figure>${trimDrawing(piece, law)}
<figcaption>${isCut ? 'Dashed with open dots: before. Solid: after. ' : 'Dashed: as measured. '}Shaded: allowed by the law. Below: the film with its cuts, the swath of the wiper between the dotted lines.</figcaption></figure>
${isCut ? cutsHtml(piece.passes) : ''}
</section>`;
}

function cutsHtml(passes: readonly TrimmedPass[]): string {
  const rows = passes.flatMap(({ pass, cuts }) =>
    cuts.map((cut) => {
      const place = cut.kind === 'shave' ? `${fixed(cut.fromMm, 1)} … ${fixed(cut.toMm, 1)}` : fixed(cut.atMm, 1);
      return `<tr><td>${pass}</td><td>${cut.number}</td><td class="text">${cut.kind}</td><td>${place}</td><td>${fixed(cut.depthMm, 2)}</td><td class="text">${cut.side}</td></tr>`;
    }),
  );
  const gains = passes.map(
    ({ pass, toolId, gain }) =>
      `pass ${pass}, tool ${escapeHtml(toolId)}: ${gain === null ? 'gain not told' : `gain ${fixed(gain, 2)}`}`,
  );
  return `<details open><summary>${count(rows.length, 'cut')} (${gains.join('; ')})</summary>
<table class="cuts"><thead><tr><th>pass</th><th>cut</th><th class="text">kind</th><th>place, mm</th><th>depth, mm</th><th class="text">side</th></tr></thead>
<tbody>${rows.join('\n')}</tbody></table></details>`;
}
