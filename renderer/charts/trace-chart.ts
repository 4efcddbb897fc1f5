/** A long trace over travel or time. The library keeps every extreme of what is in view (min-max), so panning stays smooth. */
import type { ChartConfiguration, Plugin } from 'chart.js';
import type { LawMark } from '../../src/law/law.ts';
import { numberText } from '../format/numbers.ts';
import { linearAxis, stillOptions } from './axes.ts';
import { wellPlugin } from './lying-deviation.ts';
import type { ChartPalette } from './palette.ts';
import { lyingStripPx, stripPlugin } from './strip-scale.ts';
import type { Trace, TraceAxis, TracePlace, View } from './trace-stretches.ts';

export interface TraceChart {
  readonly trace: Trace;
  readonly axis: TraceAxis;
  readonly view: View;
  readonly yTitle: string;
  /** The fader whose travel runs to the right; null while time does. */
  readonly fader: { readonly marks: readonly LawMark[]; readonly travelMm: number } | null;
  /** A place found in the trace; null = none. */
  readonly foundAt: number | null;
  readonly palette: ChartPalette;
}

/** Places that tell apart two neighbouring ticks of an axis so wide. */
export const placesFor = (width: number): number => Math.min(6, Math.max(0, Math.ceil(1 - Math.log10(width / 4))));

export function traceChart(input: TraceChart): ChartConfiguration<'scatter' | 'line'> {
  const { trace, axis, view, palette, fader } = input;
  return {
    type: 'line',
    data: {
      datasets: trace.stretches.map((stretch) => ({
        type: 'line' as const,
        // The library replaces this list by a shorter one while it draws and never changes the places themselves.
        data: stretch as TracePlace[],
        borderColor: palette.ink,
        borderWidth: 1.25,
        pointRadius: 0,
        parsing: false as const,
        normalized: true,
      })),
    },
    options: {
      ...stillOptions,
      plugins: { ...stillOptions.plugins, decimation: { enabled: true, algorithm: 'min-max' } },
      layout: { padding: { bottom: fader === null ? 0 : lyingStripPx, right: 16, top: 6 } },
      scales: {
        x: {
          ...linearAxis({
            palette,
            min: view.from,
            max: view.to,
            title: axis === 'time' ? 'Time, s' : 'Travel, mm',
            figures: (value) => numberText(value, placesFor(view.to - view.from)),
          }),
          position: fader === null ? ('bottom' as const) : ('top' as const),
        },
        y: linearAxis({
          palette,
          title: input.yTitle,
          figures: (value) => numberText(value, placesFor(trace.yMax - trace.yMin || 1)),
        }),
      },
    },
    plugins: [
      wellPlugin(palette),
      ...(input.foundAt === null ? [] : [indexLinePlugin(input.foundAt, palette)]),
      ...(fader === null ? [] : [stripPlugin({ ...fader, contactsMm: [], palette, upright: false })]),
    ],
  };
}

/** The index mark at the top with its line down through the trace: the one place that counts. */
function indexLinePlugin(at: number, palette: ChartPalette): Plugin<'scatter' | 'line'> {
  return {
    id: 'index-line',
    afterDatasetsDraw({ ctx, chartArea, scales }) {
      const x = scales.x;
      if (x === undefined || at < x.min || at > x.max) return;
      const px = x.getPixelForValue(at);
      ctx.save();
      ctx.strokeStyle = palette.accent;
      ctx.fillStyle = palette.accent;
      ctx.lineWidth = 2;
      ctx.beginPath();
      ctx.moveTo(px, chartArea.top);
      ctx.lineTo(px, chartArea.bottom);
      ctx.stroke();
      ctx.beginPath();
      ctx.moveTo(px - 8, chartArea.top);
      ctx.lineTo(px + 8, chartArea.top);
      ctx.lineTo(px, chartArea.top + 11);
      ctx.fill();
      ctx.restore();
    },
  };
}
