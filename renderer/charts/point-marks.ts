/** The verdict's shape joined to the worst point, and readings beyond the picture marked at its edge with their value. */
import type { Plugin } from 'chart.js';
import type { PointRecord, VerdictWord } from '../../src/archive/records.ts';
import { verdictStyles } from '../../src/report/words.ts';
import { signedText } from '../format/numbers.ts';
import { markMiddlePx } from './mark-place.ts';
import type { ChartPalette } from './palette.ts';

export interface PointMarks {
  readonly points: readonly PointRecord[];
  readonly worstPointIndex: number | null;
  readonly reachDb: number;
  readonly palette: ChartPalette;
}

export function pointMarksPlugin(look: PointMarks): Plugin<'scatter' | 'line'> {
  const { points, worstPointIndex, reachDb, palette } = look;
  return {
    id: 'point-marks',
    afterDatasetsDraw(chart) {
      const { ctx, chartArea } = chart;
      const { x, y } = chart.scales;
      if (x === undefined || y === undefined) return;
      ctx.save();
      let lastBeyondPx = Number.NEGATIVE_INFINITY;
      for (const point of points) {
        if (point.deviationDb === null) continue;
        const isBeyond = Math.abs(point.deviationDb) > reachDb;
        const isWorst = point.pointIndex === worstPointIndex;
        if (!isBeyond && !isWorst) continue;
        const px = x.getPixelForValue(point.travelMm);
        const py = y.getPixelForValue(Math.min(reachDb, Math.max(-reachDb, point.deviationDb)));
        // A place too close to the one before keeps its mark and loses its number.
        const isCrowded = isBeyond && !isWorst && px - lastBeyondPx < 64;
        if (isBeyond) lastBeyondPx = px;
        const middle = isBeyond
          ? py
          : markMiddlePx({
              readingPx: py,
              zeroPx: y.getPixelForValue(0),
              firstPx: chartArea.top + 3,
              lastPx: chartArea.bottom - 3,
              awayPx: 24,
              halfPx: 8,
              isInward: point.zone === 'pass',
            });
        const left = Math.min(Math.max(px - 8, chartArea.left + 2), chartArea.right - 18);
        const top = Math.min(Math.max(middle - 8, chartArea.top + 3), chartArea.bottom - 19);
        if (!isBeyond) drawLeader(ctx, { px, fromPx: py, toPx: middle, colour: palette[point.zone] });
        drawShape(ctx, point.zone, left, top, palette);
        if (isBeyond && !isCrowded) {
          ctx.font = `650 ${palette.smallPx}px ${palette.textFace}`;
          ctx.textBaseline = 'middle';
          ctx.fillStyle = palette.ink;
          ctx.fillText(`${signedText(point.deviationDb, 1)} dB`, left + 20, top + 8);
        }
      }
      ctx.restore();
    },
  };
}

function drawLeader(
  ctx: CanvasRenderingContext2D,
  line: { readonly px: number; readonly fromPx: number; readonly toPx: number; readonly colour: string },
): void {
  ctx.strokeStyle = line.colour;
  ctx.lineWidth = 2;
  ctx.beginPath();
  ctx.moveTo(line.px, line.fromPx);
  ctx.lineTo(line.px, line.toPx);
  ctx.stroke();
}

/** @param left, top corner of the shape's 16 px box */
function drawShape(
  ctx: CanvasRenderingContext2D,
  verdict: VerdictWord,
  left: number,
  top: number,
  palette: ChartPalette,
): void {
  ctx.save();
  ctx.translate(left, top);
  ctx.fillStyle = palette.well;
  ctx.fillRect(-2, -2, 20, 20);
  ctx.fillStyle = palette[verdict];
  ctx.strokeStyle = palette[verdict];
  for (const part of verdictStyles[verdict].shape) {
    const path = new Path2D(part.path);
    ctx.lineWidth = part.strokeWidth ?? 1;
    ctx.setLineDash([...(part.dash ?? [])]);
    if (part.paint === 'fill') ctx.fill(path);
    else ctx.stroke(path);
  }
  ctx.restore();
}
