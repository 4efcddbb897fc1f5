/** The chart beside the strip: deviation to the right, travel upwards, over the slot. Built anew from what is known. */
import type { ChartConfiguration, ChartDataset, Plugin, Scale } from 'chart.js';
import type { PointRecord } from '../../../src/archive/records.ts';
import type { VerdictWord } from '../../../src/contract/state.ts';
import type { LawData } from '../../../src/law/law.ts';
import type { PlannedPoint } from '../../../src/trim/trim.ts';
import { verdictStyles } from '../../../src/verdict/words.ts';
import type { LivePoint } from '../../bridge/station.ts';
import { markMiddlePx } from '../../charts/mark-place.ts';
import type { ChartPalette } from '../../charts/palette.ts';
import { slotPlugin } from '../../charts/slot.ts';
import { slotEdges } from '../../charts/slot-edges.ts';
import { signedText } from '../../format/numbers.ts';
import { closingMark, openingMark } from '../../look/bench-shapes.ts';
import { asShare, type DeviationScale, type PointLimits, pointLimits, reachOf, shareOf } from './axis.ts';
import { expectedPlugin } from './trim/expected-plugin.ts';

export interface DeviationPicture {
  readonly law: LawData;
  readonly live: readonly LivePoint[];
  /** Null before the verdict. */
  readonly recorded: readonly PointRecord[] | null;
  readonly worst: { readonly pointIndex: number; readonly verdict: VerdictWord } | null;
  readonly scale: DeviationScale;
  readonly palette: ChartPalette;
  readonly topPx: number;
  readonly bottomPx: number;
  /** What cuts are expected to do; drawn behind what was measured. */
  readonly expected?: readonly PlannedPoint[];
}

interface Place {
  readonly x: number;
  readonly y: number;
}

type Points = Place[];

interface DirectedDeviation {
  readonly pointIndex: number;
  readonly travelMm: number;
  readonly deviationDb: number | null;
}

export function deviationChart(picture: DeviationPicture): ChartConfiguration<'scatter'> {
  const { law, recorded, palette, scale } = picture;
  const edgesDb = slotEdges(law, recorded ?? []);
  const edges = scale === 'dB' ? edgesDb : asShare(edgesDb);
  const end = reachOf(edgesDb, scale);
  const limits = pointLimits(law);
  const draw = (points: readonly DirectedDeviation[]): Points => places(points, limits, scale, end);

  const opening = recorded?.map((point) => ({ ...point, deviationDb: point.upDeviationDb })) ?? live(picture, 'up');
  const closing = recorded?.map((point) => ({ ...point, deviationDb: point.downDeviationDb })) ?? live(picture, 'down');
  const datasets = [line(draw(recorded ?? opening), palette)];
  const worst = recorded?.find(({ pointIndex }) => pointIndex === picture.worst?.pointIndex);
  const plugins: Plugin<'scatter'>[] = [
    wellPlugin(palette),
    slotPlugin({ edges, palette, upright: true }),
    ...(picture.expected === undefined
      ? []
      : [expectedPlugin({ points: picture.expected, limits, scale, end, palette })]),
    readingMarks(draw(opening), draw(closing), palette),
  ];
  const at = worst === undefined ? undefined : draw([worst])[0];
  if (at !== undefined && picture.worst !== null) plugins.push(worstMark(at, picture.worst.verdict, palette));
  return { type: 'scatter', data: { datasets }, options: options(picture, end), plugins };
}

/** The ground that is drawn on; behind grid and slot. */
const wellPlugin = ({ well }: ChartPalette): Plugin<'scatter'> => ({
  id: 'well',
  beforeDraw({ ctx, chartArea: { left, top, width, height } }) {
    ctx.fillStyle = well;
    ctx.fillRect(left, top, width, height);
  },
});

/** Beyond the axis a reading stands at its end, so that it is seen; a gap stays a gap. */
function places(
  points: readonly DirectedDeviation[],
  limits: readonly PointLimits[],
  scale: DeviationScale,
  end: number,
): Points {
  return points.map(({ pointIndex, travelMm, deviationDb }) => {
    if (deviationDb === null) return { x: Number.NaN, y: travelMm };
    const edge = limits[pointIndex];
    const x = scale === 'dB' || edge === undefined ? deviationDb : shareOf(deviationDb, edge);
    return { x: Math.min(end, Math.max(-end, x)), y: travelMm };
  });
}

/** One direction along the travel; a second look at a point takes the place of the first. */
const live = ({ live: points }: DeviationPicture, direction: LivePoint['direction']): readonly DirectedDeviation[] => {
  const newest = new Map(
    points.filter((point) => point.direction === direction).map((point) => [point.pointIndex, point]),
  );
  return [...newest.values()].toSorted((a, b) => a.travelMm - b.travelMm);
};

const line = (data: Points, palette: ChartPalette): ChartDataset<'scatter'> => ({
  data,
  showLine: true,
  spanGaps: false,
  borderColor: palette.ink,
  borderWidth: 2,
  pointRadius: 0,
});

/** Both marks, smaller where many points stand close, have their base on the travel they were read at: neither hides the other. */
function readingMarks(opening: Points, closing: Points, palette: ChartPalette): Plugin<'scatter'> {
  const [up, down] = [new Path2D(openingMark), new Path2D(closingMark)];
  const baseFromMiddle = 4.8;
  return {
    id: 'readings',
    afterDatasetsDraw({ ctx, scales, chartArea }) {
      const roomPx = (chartArea.bottom - chartArea.top) / Math.max(1, opening.length);
      const size = Math.min(1, Math.max(0.6, roomPx / 13));
      const at = ({ x, y }: Place, shiftPx: number, draw: () => void): void => {
        const [h, v] = [scales.x?.getPixelForValue(x), scales.y?.getPixelForValue(y)];
        if (h === undefined || v === undefined || !Number.isFinite(h)) return;
        ctx.save();
        ctx.translate(h, v + shiftPx * size);
        ctx.scale(size, size);
        draw();
        ctx.restore();
      };
      ctx.save();
      ctx.fillStyle = palette.well;
      ctx.strokeStyle = palette.ink;
      ctx.lineWidth = 1.5;
      for (const place of closing) {
        at(place, baseFromMiddle, () => {
          ctx.fill(down);
          ctx.stroke(down);
        });
      }
      ctx.fillStyle = palette.ink;
      for (const place of opening) at(place, -baseFromMiddle, () => ctx.fill(up));
      ctx.restore();
    },
  };
}

/** The worst point's verdict shape, joined to its reading: a pass inside the slot, anything else on the outer side. */
function worstMark({ x, y }: Place, verdict: VerdictWord, palette: ChartPalette): Plugin<'scatter'> {
  const size = 19;
  return {
    id: 'worst',
    afterDatasetsDraw({ ctx, scales, chartArea }) {
      const h = scales.x?.getPixelForValue(x);
      const v = scales.y?.getPixelForValue(y);
      if (h === undefined || v === undefined || !Number.isFinite(h)) return;
      const middle = markMiddlePx({
        readingPx: h,
        zeroPx: (chartArea.left + chartArea.right) / 2,
        firstPx: chartArea.left,
        lastPx: chartArea.right,
        awayPx: 18 + size / 2,
        halfPx: size / 2,
        isInward: verdict === 'pass',
      });
      ctx.save();
      ctx.strokeStyle = palette[verdict];
      ctx.lineWidth = 2;
      ctx.beginPath();
      ctx.moveTo(h, v);
      ctx.lineTo(middle, v);
      ctx.stroke();
      ctx.translate(middle - size / 2, v - size / 2);
      ctx.fillStyle = palette.well;
      ctx.fillRect(-1, -1, size + 2, size + 2);
      ctx.scale(size / 16, size / 16);
      ctx.fillStyle = palette[verdict];
      ctx.strokeStyle = palette[verdict];
      for (const part of verdictStyles[verdict].shape) {
        const path = new Path2D(part.path);
        if (part.paint === 'fill') {
          ctx.fill(path);
          continue;
        }
        ctx.lineWidth = part.strokeWidth ?? 1;
        ctx.setLineDash([...(part.dash ?? [])]);
        ctx.stroke(path);
      }
      ctx.restore();
    },
  };
}

function options(
  { law, palette, topPx, bottomPx, scale }: DeviationPicture,
  end: number,
): NonNullable<ChartConfiguration<'scatter'>['options']> {
  const font = { family: palette.textFace, size: palette.smallPx };
  const places = scale === 'dB' && end <= 2 ? 1 : 0;
  return {
    animation: false,
    responsive: true,
    maintainAspectRatio: false,
    events: [],
    layout: { padding: { top: topPx, left: 18, right: 18, bottom: 0 } },
    plugins: { legend: { display: false }, tooltip: { enabled: false } },
    scales: {
      x: {
        type: 'linear',
        min: -end,
        max: end,
        grid: { color: palette.rule, drawTicks: false },
        border: { display: false },
        ticks: {
          stepSize: end / 2,
          color: palette.inkSoft,
          font,
          padding: 8,
          align: 'inner',
          maxRotation: 0,
          callback: (value) => signedText(Number(value), places),
        },
        // The axis must end where the strip's does.
        afterFit: (axis: Scale) => {
          axis.height = bottomPx;
        },
      },
      y: {
        type: 'linear',
        min: 0,
        max: law.travelMm,
        grid: { color: palette.rule, drawTicks: false },
        border: { display: false },
        ticks: { display: false, stepSize: 10 },
        afterFit: (axis: Scale) => {
          axis.width = 0;
        },
      },
    },
  };
}
