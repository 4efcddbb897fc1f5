/** How the tool's gain came to be known, piece after piece: a control chart of the batch. */
import type { ChartConfiguration, Plugin } from 'chart.js';
import type { GainStep } from '../../../../src/contract/trim.ts';
import { linearAxis, stillOptions } from '../../../charts/axes.ts';
import type { ChartPalette } from '../../../charts/palette.ts';
import { numberText } from '../../../format/numbers.ts';

/** Never narrower than this around 1, so that small changes look small. */
const leastReach = 0.2;

export function gainReach(steps: readonly GainStep[]): number {
  const far = steps.reduce(
    (most, { mean, sd, achieved }) =>
      Math.max(most, Math.abs(mean - 1) + 2 * sd, achieved === null ? 0 : Math.abs(achieved - 1)),
    leastReach,
  );
  return Math.ceil(far * 10 - 1e-9) / 10;
}

export function gainChart(steps: readonly GainStep[], palette: ChartPalette): ChartConfiguration<'scatter'> {
  const reach = gainReach(steps);
  const last = Math.max(2, steps.length);
  return {
    type: 'scatter',
    data: {
      datasets: [
        {
          data: steps.map(({ pass, mean }) => ({ x: pass, y: mean })),
          showLine: true,
          borderColor: palette.accent,
          borderWidth: 2.5,
          pointRadius: 0,
        },
        {
          data: steps.flatMap(({ pass, achieved }) => (achieved === null ? [] : [{ x: pass, y: achieved }])),
          pointRadius: 4,
          pointBackgroundColor: palette.ink,
          pointBorderColor: palette.ink,
        },
      ],
    },
    options: {
      ...stillOptions,
      layout: { padding: { top: 6, right: 12 } },
      scales: {
        x: linearAxis({
          palette,
          min: 0,
          max: last + 1,
          stepSize: Math.max(1, Math.ceil(last / 8)),
          figures: (value) => numberText(value, 0),
          title: 'passes of this batch',
        }),
        y: linearAxis({
          palette,
          min: 1 - reach,
          max: 1 + reach,
          stepSize: reach / 2,
          figures: (value) => numberText(value, 2),
        }),
      },
    },
    plugins: [spreadPlugin(steps, palette)],
  };
}

/** Two standard deviations of the belief as limits, the ground behind, and 1 as a hairline. */
function spreadPlugin(steps: readonly GainStep[], palette: ChartPalette): Plugin<'scatter'> {
  return {
    id: 'gain-spread',
    beforeDraw({ ctx, chartArea }) {
      if (chartArea === undefined) return;
      ctx.fillStyle = palette.well;
      ctx.fillRect(chartArea.left, chartArea.top, chartArea.width, chartArea.height);
    },
    beforeDatasetsDraw({ ctx, scales }) {
      const h = (value: number): number => scales.x?.getPixelForValue(value) ?? 0;
      const v = (value: number): number => scales.y?.getPixelForValue(value) ?? 0;
      ctx.save();
      ctx.strokeStyle = palette.inkSoft;
      ctx.lineWidth = 1.5;
      for (const side of [-2, 2]) {
        ctx.beginPath();
        for (const { pass, mean, sd } of steps) ctx.lineTo(h(pass), v(mean + side * sd));
        ctx.stroke();
      }
      ctx.restore();
    },
  };
}
