/** Deviation over the travel with the fader lying below: one run in full, others laid over in thin ink. */
import type { ChartConfiguration, Plugin } from 'chart.js';
import type { PointRecord } from '../../src/archive/records.ts';
import type { Law } from '../../src/law/build.ts';
import { numberText, signedText } from '../format/numbers.ts';
import { linearAxis, stillOptions } from './axes.ts';
import type { CurveSet } from './curve-set.ts';
import { curvesPlugin } from './curves-plugin.ts';
import type { ChartPalette } from './palette.ts';
import { pointMarksPlugin } from './point-marks.ts';
import { slotPlugin } from './slot.ts';
import { deviationReachDb, slotEdges } from './slot-edges.ts';
import { lyingStripPx, stripPlugin } from './strip-scale.ts';

export interface LyingDeviation {
  readonly law: Law;
  /** The opened run; null = only the curves laid over. */
  readonly points: readonly PointRecord[] | null;
  readonly worstPointIndex: number | null;
  readonly set: CurveSet;
  readonly palette: ChartPalette;
  readonly pointedAt: () => number | null;
}

export function lyingDeviation(input: LyingDeviation): ChartConfiguration<'scatter' | 'line'> {
  const { law, palette, set, pointedAt } = input;
  const points = input.points ?? [];
  const edges = slotEdges(law, points);
  const reachDb = deviationReachDb(edges);
  const places = (of: (point: PointRecord) => number | null) =>
    points.map((point) => ({ x: point.travelMm, y: of(point) ?? Number.NaN }));
  const ink = palette.ink;
  // Only above others does the opened line need a border of ground to stand out.
  const casing = set.count === 0 ? [] : [{ color: palette.well, width: 7 }];
  return {
    type: 'scatter',
    data: {
      datasets: [
        {
          type: 'line',
          order: 1,
          data: places((point) => point.deviationDb),
          borderColor: ink,
          borderWidth: 2.5,
          pointRadius: 0,
          spanGaps: false,
          parsing: false,
        },
        ...casing.map(({ color, width }) => ({
          type: 'line' as const,
          order: 2,
          data: places((point) => point.deviationDb),
          borderColor: color,
          borderWidth: width,
          pointRadius: 0,
          spanGaps: false,
          parsing: false as const,
        })),
        {
          type: 'scatter',
          data: places((point) => point.upDeviationDb),
          pointStyle: 'triangle',
          pointRadius: 5,
          pointBackgroundColor: ink,
          pointBorderColor: ink,
          pointBorderWidth: 1,
          parsing: false,
        },
        {
          type: 'scatter',
          data: places((point) => point.downDeviationDb),
          pointStyle: 'triangle',
          pointRotation: 180,
          pointRadius: 6,
          pointBackgroundColor: 'transparent',
          pointBorderColor: ink,
          pointBorderWidth: 1.5,
          parsing: false,
        },
      ],
    },
    options: {
      ...stillOptions,
      layout: { padding: { bottom: lyingStripPx, right: 16, top: 6 } },
      scales: {
        x: {
          ...linearAxis({
            palette,
            min: 0,
            max: law.travelMm,
            stepSize: 10,
            figures: (value) => (value === 0 ? '0 mm' : numberText(value, 0)),
          }),
          position: 'top' as const,
        },
        y: linearAxis({
          palette,
          min: -reachDb,
          max: reachDb,
          stepSize: reachDb / 4,
          figures: (value) => signedText(value, reachDb < 4 ? 2 : reachDb === 10 || reachDb === 6 ? 1 : 0),
        }),
      },
    },
    plugins: [
      wellPlugin(palette),
      slotPlugin({ edges, palette, upright: false }) as Plugin<'scatter' | 'line'>,
      curvesPlugin({ set, palette, pointedAt }),
      pointMarksPlugin({ points, worstPointIndex: input.worstPointIndex, reachDb, palette }),
      senseWordsPlugin(palette),
      stripPlugin({
        marks: law.marks,
        travelMm: law.travelMm,
        contactsMm: law.interpolation === 'stepped' ? law.points.map((point) => point.travelMm) : [],
        palette,
        upright: false,
      }),
    ],
  };
}

/** The ground of what is drawn. */
export function wellPlugin(palette: ChartPalette): Plugin<'scatter' | 'line'> {
  return {
    id: 'well',
    beforeDraw({ ctx, chartArea }) {
      if (chartArea === undefined) return;
      ctx.save();
      ctx.fillStyle = palette.well;
      ctx.fillRect(chartArea.left, chartArea.top, chartArea.width, chartArea.height);
      ctx.restore();
    },
  };
}

/** Which way is which, in words, inside the chart at its upper and lower edge. */
function senseWordsPlugin(palette: ChartPalette): Plugin<'scatter' | 'line'> {
  return {
    id: 'sense-words',
    afterDatasetsDraw({ ctx, chartArea }) {
      ctx.save();
      ctx.font = `600 ${palette.smallPx}px ${palette.plateFace}`;
      ctx.textAlign = 'right';
      const write = (text: string, y: number, baseline: CanvasTextBaseline): void => {
        const width = ctx.measureText(text).width + 10;
        ctx.fillStyle = palette.well;
        ctx.fillRect(
          chartArea.right - width - 3,
          baseline === 'top' ? y - 2 : y - palette.smallPx - 2,
          width,
          palette.smallPx + 4,
        );
        ctx.fillStyle = palette.inkSoft;
        ctx.textBaseline = baseline;
        ctx.fillText(text, chartArea.right - 8, y);
      };
      write('quieter, dB', chartArea.top + 6, 'top');
      write('louder, dB', chartArea.bottom - 6, 'bottom');
      ctx.restore();
    },
  };
}
