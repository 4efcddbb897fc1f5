/** Three charts side by side on one upright travel axis, with the fader at their left: loss, band, slope. */
import type { ChartConfiguration, Plugin } from 'chart.js';
import type { Law } from '../../../src/law/build.ts';
import { linearAxis, stillOptions } from '../../charts/axes.ts';
import { wellPlugin } from '../../charts/lying-deviation.ts';
import type { ChartPalette } from '../../charts/palette.ts';
import { slotPlugin } from '../../charts/slot.ts';
import { deviationReachDb, slotEdges } from '../../charts/slot-edges.ts';
import { stripPlugin, uprightStripPx } from '../../charts/strip-scale.ts';
import { numberText, signedText } from '../../format/numbers.ts';
import { axisFor, limitLines, lossLine, type Place, slopeLine } from './law-lines.ts';

export interface LawColumns {
  readonly law: Law;
  /** A second revision, laid over dashed; null = none. */
  readonly second: Law | null;
  readonly palette: ChartPalette;
}

type Config = ChartConfiguration<'scatter' | 'line'>;

/** Same room above and below in every column, or their travel would not be the same height. */
const headPx = 52;
const footPx = 14;

interface ColumnLook {
  readonly columns: LawColumns;
  readonly lines: readonly { readonly places: readonly Place[]; readonly look: 'law' | 'limit' | 'second' }[];
  readonly title: string;
  readonly min: number;
  readonly max: number;
  readonly stepSize: number;
  readonly figures: (value: number) => string;
  readonly leftPx: number;
  readonly plugins?: readonly Plugin<'scatter' | 'line'>[];
}

function column({ columns, lines, leftPx, plugins = [], ...axis }: ColumnLook): Config {
  const { palette, law, second } = columns;
  const looks = {
    law: { borderColor: palette.accent, borderWidth: 2.5, borderDash: [] },
    limit: { borderColor: palette.inkSoft, borderWidth: 1.25, borderDash: [] },
    second: { borderColor: palette.ink, borderWidth: 1.75, borderDash: [7, 5] },
  } as const;
  const x = linearAxis({ palette, align: 'inner', ...axis });
  return {
    type: 'scatter',
    data: {
      datasets: lines.map(({ places, look }) => ({
        type: 'line' as const,
        data: [...places],
        ...looks[look],
        borderDash: [...looks[look].borderDash],
        pointRadius: 0,
        spanGaps: false,
        parsing: false as const,
      })),
    },
    options: {
      ...stillOptions,
      normalized: false,
      layout: { padding: { left: leftPx, right: 18, bottom: footPx } },
      scales: {
        x: {
          ...x,
          position: 'top',
          afterFit: (scale: { height: number }) => {
            scale.height = headPx;
          },
        },
        y: {
          ...linearAxis({ palette, min: 0, max: Math.max(law.travelMm, second?.travelMm ?? 0), stepSize: 10 }),
          ticks: { display: false, stepSize: 10 },
          grid: { color: palette.rule, tickLength: 0 },
        },
      },
    },
    plugins: [wellPlugin(palette), ...plugins],
  };
}

export function lossColumn(columns: LawColumns): Config {
  const { law, second, palette } = columns;
  const limits = limitLines(law);
  const lines = [
    { places: limits.loud, look: 'limit' as const },
    { places: limits.quiet, look: 'limit' as const },
    { places: lossLine(law), look: 'law' as const },
    ...(second === null ? [] : [{ places: lossLine(second), look: 'second' as const }]),
  ];
  const { end, step } = axisFor(lines.map((line) => line.places));
  return column({
    columns,
    lines,
    title: 'Loss, dB',
    min: 0,
    max: end,
    stepSize: step,
    figures: (value) => numberText(value, end < 8 ? 1 : 0),
    leftPx: uprightStripPx,
    plugins: [
      stripPlugin({
        marks: law.marks,
        travelMm: law.travelMm,
        contactsMm: law.interpolation === 'stepped' ? law.points.map((point) => point.travelMm) : [],
        palette,
        upright: true,
      }),
    ],
  });
}

export function bandColumn(columns: LawColumns): Config {
  const { law, second, palette } = columns;
  const edges = slotEdges(law);
  const reach = deviationReachDb(edges);
  const others = second === null ? [] : slotEdges(second);
  return column({
    columns,
    lines: [
      { places: others.map((edge) => ({ x: edge.lowerDb, y: edge.travelMm })), look: 'second' as const },
      { places: others.map((edge) => ({ x: edge.upperDb ?? Number.NaN, y: edge.travelMm })), look: 'second' as const },
    ],
    title: 'Band, dB',
    min: -reach,
    max: reach,
    stepSize: reach,
    figures: (value) => signedText(value, 0),
    leftPx: 14,
    plugins: [slotPlugin({ edges, palette, upright: true }) as Plugin<'scatter' | 'line'>],
  });
}

export function slopeColumn(columns: LawColumns): Config {
  const { law, second } = columns;
  const lines = [
    { places: slopeLine(law), look: 'law' as const },
    ...(second === null ? [] : [{ places: slopeLine(second), look: 'second' as const }]),
  ];
  const { end: max } = axisFor(lines.map((line) => line.places));
  return column({
    columns,
    lines,
    title: law.interpolation === 'stepped' ? 'Step, dB' : 'dB per mm',
    min: 0,
    max,
    stepSize: max / 2,
    figures: (value) => numberText(value, value === 0 ? 0 : max < 2 ? 2 : 1),
    leftPx: 14,
  });
}
