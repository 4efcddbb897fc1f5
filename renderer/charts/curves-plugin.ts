/**
 * Draws a set of curves over the slot: one weight of ink at low opacity, so that where many run it grows dark. Drawn by
 * hand because a chart library's object for every reading of 500 curves would cost more than the drawing.
 *
 * The time of each drawing is left as the user timing `faderwright.curves` for benchmarks.
 */
import type { Chart, Plugin } from 'chart.js';
import { verdictStyles } from '../../src/report/words.ts';
import type { CurveSet } from './curve-set.ts';
import type { ChartPalette } from './palette.ts';

export const curvesTiming = 'faderwright.curves';

export interface CurvesLook {
  readonly set: CurveSet;
  readonly palette: ChartPalette;
  /** Index of the curve that is pointed at; read at each drawing. */
  readonly pointedAt: () => number | null;
}

/** Opacity at which a heap of so many curves still shows its middle. */
export const opacityFor = (count: number): number => Math.min(0.6, Math.max(0.07, 8 / Math.max(1, count)));

export function curvesPlugin({ set, palette, pointedAt }: CurvesLook): Plugin<'scatter' | 'line'> {
  return {
    id: 'curves',
    beforeDatasetsDraw(chart: Chart) {
      const { ctx, chartArea } = chart;
      const { x, y } = chart.scales;
      if (x === undefined || y === undefined || set.count === 0) return;
      const began = performance.now();
      ctx.save();
      ctx.beginPath();
      ctx.rect(chartArea.left, chartArea.top, chartArea.width, chartArea.height);
      ctx.clip();
      ctx.lineJoin = 'bevel';
      ctx.strokeStyle = palette.ink;
      const [x0, xPer] = linear((value) => x.getPixelForValue(value));
      const [y0, yPer] = linear((value) => y.getPixelForValue(value));
      const trace = (curve: number): void => {
        ctx.beginPath();
        let isDown = false;
        const end = set.starts[curve + 1] ?? 0;
        for (let at = set.starts[curve] ?? 0; at < end; at += 1) {
          const db = set.deviationDb[at] ?? Number.NaN;
          if (Number.isNaN(db)) {
            isDown = false;
            continue;
          }
          const [px, py] = [x0 + xPer * (set.travelMm[at] ?? 0), y0 + yPer * db];
          if (isDown) ctx.lineTo(px, py);
          else ctx.moveTo(px, py);
          isDown = true;
        }
        ctx.stroke();
      };
      const opacity = opacityFor(set.count);
      ctx.lineWidth = 1;
      for (let curve = 0; curve < set.count; curve += 1) {
        const verdict = set.verdicts[curve] ?? 'void';
        ctx.globalAlpha = verdict === 'pass' ? opacity : Math.min(0.85, opacity * 4);
        ctx.setLineDash([...verdictStyles[verdict].lineDash]);
        trace(curve);
      }
      const pointed = pointedAt();
      if (pointed !== null && pointed < set.count) {
        ctx.globalAlpha = 1;
        ctx.setLineDash([...verdictStyles[set.verdicts[pointed] ?? 'void'].lineDash]);
        ctx.lineWidth = 2.5;
        trace(pointed);
      }
      ctx.restore();
      performance.clearMeasures(curvesTiming);
      performance.measure(curvesTiming, { start: began, end: performance.now(), detail: { curves: set.count } });
    },
  };
}

/** A linear axis as start and step: two calls instead of one for each reading. */
function linear(pxOf: (value: number) => number): readonly [number, number] {
  const start = pxOf(0);
  return [start, pxOf(1) - start];
}
