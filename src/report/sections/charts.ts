/** Frames, legends and notes of the charts, and the table of law points that says the same in numbers. */
import type { LawData } from '../../law/law.ts';
import type { Batch } from '../batch-faders.ts';
import type { ChartData } from '../chart-data.ts';
import { escapeHtml } from '../escape.ts';
import { count, deviationLimits, fixed, gap, ohm, signed } from '../format.ts';
import { type PointStatistics, pointStatistics } from '../point-statistics.ts';
import { markAt } from '../point-words.ts';
import { shapeSvg, verdictOrder, verdictStyles } from '../words.ts';

const lineSample = (word: (typeof verdictOrder)[number]): string => {
  const { lineDash, lineWidthPx } = verdictStyles[word];
  const dash = lineDash.length === 0 ? '' : ` stroke-dasharray="${lineDash.join(' ')}"`;
  return `<svg class="line-sample is-${word}" viewBox="0 0 34 8" aria-hidden="true"><path d="M0 4H34" stroke-width="${lineWidthPx}"${dash}/></svg>`;
};

const legendHtml = (batch: Batch): string => {
  const present = verdictOrder.filter((word) => batch.faders.some(({ run }) => run.verdict === word));
  const words = present.map(
    (word) =>
      `<li><button type="button" class="key is-${word}" data-word="${word}" aria-pressed="true">${lineSample(word)}${shapeSvg(word)}<b>${word}</b></button></li>`,
  );
  return (
    `<ul class="legend"><li class="key"><svg class="line-sample law-sample" viewBox="0 0 34 14" aria-hidden="true"><rect width="34" height="14"/><path d="M0 7H34"/></svg>law and its band</li>` +
    `${words.join('')}</ul>`
  );
};

const outsideNote = (n: number): string =>
  n === 0
    ? ''
    : `<p class="outside">${count(n, 'reading')} ${n === 1 ? 'lies' : 'lie'} outside this picture: a triangle at the edge marks each.</p>`;

const chartFigure = (id: string, title: string, under: string, label: string, note: string): string =>
  `<figure class="chart"><figcaption><h3>${title}</h3><p>${under}</p></figcaption>` +
  `<div class="canvas-frame" id="${id}-frame"><canvas id="${id}" role="img" aria-label="${escapeHtml(label)}"></canvas></div>${note}</figure>`;

const pointRow = (point: PointStatistics, law: LawData): string => {
  const mark = markAt(law, point.travelMm);
  const limits = point.lowerDb === null ? gap : deviationLimits(point.lowerDb, point.upperDb);
  const number = (n: number, word: string): string => (n === 0 ? '0' : `<b class="is-${word}">${n}</b>`);
  return (
    `<tr><th scope="row">${fixed(point.travelMm, 1)}</th><td>${mark === null ? '' : escapeHtml(mark)}</td><td>${fixed(point.lawDb, 2)}</td>` +
    `<td>${limits}</td><td>${point.measured}</td><td>${signed(point.meanDb, 2)}</td><td>${signed(point.smallestDb, 2)}</td>` +
    `<td>${signed(point.largestDb, 2)}</td><td>${number(point.zones.fail, 'fail')}</td><td>${number(point.zones.doubt, 'doubt')}</td><td>${point.worst}</td></tr>`
  );
};

const pointsTable = (statistics: readonly PointStatistics[], law: LawData): string =>
  `<details class="point-statistics"><summary>The same in numbers, point by point</summary><div class="table-frame"><table class="points"><thead><tr>` +
  `<th scope="col">Travel<small>mm</small></th><th scope="col">Mark</th><th scope="col">Law<small>dB</small></th><th scope="col">Limits<small>dB</small></th>` +
  `<th scope="col">Measured<small>faders</small></th><th scope="col">Mean<small>dB</small></th><th scope="col">Smallest<small>dB</small></th><th scope="col">Largest<small>dB</small></th>` +
  `<th scope="col">Fail<small>faders</small></th><th scope="col">Doubt<small>faders</small></th><th scope="col">Worst<small>faders</small></th></tr></thead><tbody>` +
  `${statistics.map((point) => pointRow(point, law)).join('')}</tbody></table></div></details>`;

const resistanceNote = ({ resistance }: ChartData): string => {
  const parts = [
    resistance.missing === 0 ? '' : `${count(resistance.missing, 'fader')} without a measured resistance.`,
    resistance.outside === 0 ? '' : `${count(resistance.outside, 'fader')} beyond the picture, marked at its edge.`,
  ].filter((part) => part !== '');
  return parts.length === 0 ? '' : `<p class="outside">${parts.join(' ')}</p>`;
};

export function chartsHtml(batch: Batch, law: LawData, data: ChartData): string {
  if (batch.faders.length === 0) return '';
  const statistics = pointStatistics(batch.faders, law);
  const { resistance } = data;
  const n = count(batch.faders.length, 'fader');
  return `<section class="charts" aria-labelledby="charts-title">
<h2 id="charts-title">Against the law</h2>
<noscript><p class="notice">The charts need scripts to be allowed. Every number behind them stands in the tables.</p></noscript>
${legendHtml(batch)}
${chartFigure('loss', 'Loss', 'dB, over travel from the closed end in mm; the printed scale along the top', `Loss against travel of ${n} over the law and its band.`, outsideNote(data.lossOutside))}
${chartFigure('deviation', 'Deviation', 'dB against the law; above the line is too quiet, below too loud', `Deviation from the law against travel of ${n} over the tolerance band.`, outsideNote(data.deviationOutside))}
${chartFigure('points', 'Worst points', '<span class="bar-key is-fail"></span>fail and <span class="bar-key is-doubt"></span>doubt at this point, <span class="bar-key is-worst"></span>worst point of the fader; number of faders', 'Number of faders that fail, are in doubt or have their worst deviation at each law point; the table below gives the numbers.', '')}
${pointsTable(statistics, law)}
${chartFigure('resistance', 'Track resistance', `Ω between the end terminals; allowed ${ohm(resistance.lowerOhm)} to ${ohm(resistance.upperOhm)}`, `Track resistance of ${n} against its limits; the table of faders gives the numbers.`, resistanceNote(data))}
</section>`;
}
