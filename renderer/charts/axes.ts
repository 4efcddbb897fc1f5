/** Axes as the look wants them: hairline grid, engraved figures, a true minus, no animation of data. */
import type { ChartOptions } from 'chart.js';
import type { ChartPalette } from './palette.ts';

export interface AxisLook {
  readonly palette: ChartPalette;
  readonly min?: number;
  readonly max?: number;
  readonly title?: string;
  readonly stepSize?: number;
  readonly figures?: (value: number) => string;
  readonly isReversed?: boolean;
  /** `inner` keeps the figures at both ends inside the axis, where another chart stands beside it. */
  readonly align?: 'center' | 'inner';
}

export function linearAxis(look: AxisLook) {
  const { palette, min, max, title, stepSize, figures, isReversed, align = 'center' } = look;
  const font = { family: palette.plateFace, size: palette.smallPx };
  return {
    type: 'linear' as const,
    ...(min === undefined ? {} : { min }),
    ...(max === undefined ? {} : { max }),
    reverse: isReversed === true,
    grid: { color: palette.rule, lineWidth: 1, tickLength: 4 },
    border: { color: palette.edge, width: 1 },
    ticks: {
      color: palette.inkSoft,
      font,
      maxRotation: 0,
      autoSkipPadding: 14,
      includeBounds: false,
      align,
      ...(stepSize === undefined ? {} : { stepSize }),
      ...(figures === undefined ? {} : { callback: (value: string | number) => figures(Number(value)) }),
    },
    title: { display: title !== undefined, text: title ?? '', color: palette.inkSoft, font, padding: 2 },
  };
}

/** What every chart has in common. Data are shown as they are: no animation, no parsing, no legend, no bubble. */
export const stillOptions = {
  animation: false,
  parsing: false,
  normalized: true,
  responsive: true,
  maintainAspectRatio: false,
  events: [],
  plugins: { legend: { display: false }, tooltip: { enabled: false }, decimation: { enabled: false } },
} as const satisfies ChartOptions<'scatter' | 'line'>;
