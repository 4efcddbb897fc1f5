/** What the cuts of this pass are expected to do: a dashed line in the accent, with two standard deviations to each side. */
import type { Plugin } from 'chart.js';
import type { PlannedPoint } from '../../../../src/trim/trim.ts';
import type { ChartPalette } from '../../../charts/palette.ts';
import { type DeviationScale, type PointLimits, shareOf } from '../axis.ts';

export interface ExpectedLook {
  readonly points: readonly PlannedPoint[];
  readonly limits: readonly PointLimits[];
  readonly scale: DeviationScale;
  /** The deviation axis ends here on both sides. */
  readonly end: number;
  readonly palette: ChartPalette;
}

export interface ExpectedPlace {
  readonly travelMm: number;
  readonly at: number;
  readonly from: number;
  readonly to: number;
}

/** Places on the deviation axis, in dB or as share of the limit; what lies beyond the axis stands at its end. */
export function expectedPlaces({
  points,
  limits,
  scale,
  end,
}: Omit<ExpectedLook, 'palette'>): readonly ExpectedPlace[] {
  return points.map(({ pointIndex, travelMm, deviationAfterDb, sdAfterDb }) => {
    const edge = limits[pointIndex];
    const place = (deviationDb: number): number => {
      const value = scale === 'dB' || edge === undefined ? deviationDb : shareOf(deviationDb, edge);
      return Math.min(end, Math.max(-end, value));
    };
    return {
      travelMm,
      at: place(deviationAfterDb),
      from: place(deviationAfterDb - 2 * sdAfterDb),
      to: place(deviationAfterDb + 2 * sdAfterDb),
    };
  });
}

const capPx = 3.5;

export function expectedPlugin(look: ExpectedLook): Plugin<'scatter'> {
  const places = expectedPlaces(look);
  return {
    id: 'expected',
    beforeDatasetsDraw({ ctx, scales }) {
      const h = (value: number): number => scales.x?.getPixelForValue(value) ?? 0;
      const v = (travelMm: number): number => scales.y?.getPixelForValue(travelMm) ?? 0;
      ctx.save();
      ctx.strokeStyle = look.palette.accent;
      ctx.lineWidth = 1.5;
      ctx.beginPath();
      for (const { travelMm, from, to } of places) {
        const y = v(travelMm);
        ctx.moveTo(h(from), y);
        ctx.lineTo(h(to), y);
        for (const end of [from, to]) {
          ctx.moveTo(h(end), y - capPx);
          ctx.lineTo(h(end), y + capPx);
        }
      }
      ctx.stroke();
      ctx.lineWidth = 2;
      ctx.setLineDash([6, 4]);
      ctx.beginPath();
      for (const { travelMm, at } of places) ctx.lineTo(h(at), v(travelMm));
      ctx.stroke();
      ctx.restore();
    },
  };
}
