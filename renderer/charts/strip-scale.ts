/**
 * The fader beside a chart's travel axis, drawn by the chart itself so that every mark lies exactly on its travel: slot,
 * ticks, printed marks. Upright it stands left of the chart, lying it lies below it. Travel is never drawn without it.
 */
import type { Chart, Plugin } from 'chart.js';
import type { LawMark } from '../../src/law/law.ts';
import type { ChartPalette } from './palette.ts';
import { type PlacedText, placedMarks, ticksBetween } from './travel-ticks.ts';

export interface StripLook {
  readonly marks: readonly LawMark[];
  /** Nominal travel of the fader, mm: where its slot ends. */
  readonly travelMm: number;
  /** Travels of the contacts of a stepped fader, mm; empty = a plain track. */
  readonly contactsMm: readonly number[];
  readonly palette: ChartPalette;
  readonly upright: boolean;
}

/** Room the strip takes on its side of the chart, px; the chart keeps it free as its layout padding. */
export const lyingStripPx = 58;
export const uprightStripPx = 112;

const slotPx = 12;

export function stripPlugin({ marks, travelMm, contactsMm, palette, upright }: StripLook): Plugin<'scatter' | 'line'> {
  return {
    id: 'strip',
    afterDraw(chart: Chart) {
      const scale = upright ? chart.scales.y : chart.scales.x;
      const { ctx, chartArea } = chart;
      if (scale === undefined || chartArea === undefined) return;
      const inView = (mm: number): boolean => mm >= scale.min - 1e-9 && mm <= scale.max + 1e-9;
      const along = (mm: number): number => scale.getPixelForValue(mm);
      ctx.save();
      const [from, to] = [along(Math.max(0, scale.min)), along(Math.min(travelMm, scale.max))];
      // Towards the chart the distance from its edge is counted outwards, so both ways share the drawing.
      const across = (outPx: number): number => (upright ? chartArea.left - outPx : chartArea.bottom + outPx);
      const line = (a: number, outFrom: number, outTo: number, width: number, colour: string): void => {
        ctx.strokeStyle = colour;
        ctx.lineWidth = width;
        ctx.beginPath();
        if (upright) {
          ctx.moveTo(across(outFrom), a);
          ctx.lineTo(across(outTo), a);
        } else {
          ctx.moveTo(a, across(outFrom));
          ctx.lineTo(a, across(outTo));
        }
        ctx.stroke();
      };
      for (const { travelMm: mm, isTen } of ticksBetween(Math.max(0, scale.min), Math.min(travelMm, scale.max))) {
        line(along(mm), 4, isTen ? 14 : 9, isTen ? 1.5 : 1, palette.edge);
      }
      ctx.fillStyle = slotColour();
      ctx.strokeStyle = palette.edge;
      ctx.lineWidth = 1.5;
      const slotOut = 18;
      const box: readonly [number, number, number, number] = upright
        ? [across(slotOut + slotPx), Math.min(from, to), slotPx, Math.abs(to - from)]
        : [Math.min(from, to), across(slotOut), Math.abs(to - from), slotPx];
      ctx.fillRect(...box);
      ctx.strokeRect(...box);
      for (const mm of contactsMm.filter(inView)) line(along(mm), slotOut - 1, slotOut + 2, 3, palette.plate);
      drawMarks(chart, { marks: marks.filter((mark) => inView(mark.travelMm)), palette, upright, along, across, line });
      ctx.restore();
    },
  };
}

interface MarkDrawing {
  readonly marks: readonly LawMark[];
  readonly palette: ChartPalette;
  readonly upright: boolean;
  readonly along: (travelMm: number) => number;
  readonly across: (outPx: number) => number;
  readonly line: (at: number, outFrom: number, outTo: number, width: number, colour: string) => void;
}

function drawMarks({ ctx }: Chart, { marks, palette, upright, along, across, line }: MarkDrawing): void {
  const face = (mark: { isZero: boolean }): string =>
    `${mark.isZero ? 750 : 550} ${palette.smallPx}px ${palette.plateFace}`;
  ctx.font = face({ isZero: true });
  const gapPx = upright ? palette.smallPx + 1 : 10;
  const extent = (text: string): number => (upright ? gapPx : ctx.measureText(text).width + gapPx);
  ctx.textAlign = upright ? 'right' : 'center';
  ctx.textBaseline = upright ? 'middle' : 'top';
  const endOut = 18 + slotPx;
  for (const mark of marks) line(along(mark.travelMm), endOut + 2, endOut + 8, 1.25, palette.inkSoft);
  for (const mark of placedMarks(marks, along, extent) as readonly PlacedText[]) {
    if (mark.isZero) line(mark.atPx, endOut + 1, endOut + 10, 3, palette.ink);
    ctx.fillStyle = mark.isZero ? palette.ink : palette.inkSoft;
    ctx.font = face(mark);
    if (upright) ctx.fillText(mark.text, across(endOut + 14), mark.atPx);
    else ctx.fillText(mark.text, mark.atPx, across(endOut + 11));
  }
}

const slotColour = (): string => getComputedStyle(document.documentElement).getPropertyValue('--slot').trim();
