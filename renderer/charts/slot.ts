/**
 * The slot: limits of deviation along the travel, drawn behind the curves. Clear is allowed, grain (within U of a limit) is
 * doubt, hatched is forbidden; the meaning is carried by the limit's line, never by a colour.
 */
import type { Chart, Plugin, ScatterDataPoint } from 'chart.js';
import type { ChartPalette } from './palette.ts';

export interface SlotEdge {
  readonly travelMm: number;
  readonly lowerDb: number;
  /** Null = no upper limit. */
  readonly upperDb: number | null;
  /** Null = not known yet: no grain is drawn. */
  readonly uncertaintyDb: number | null;
}

export interface SlotLook {
  readonly edges: readonly SlotEdge[];
  readonly palette: ChartPalette;
  /** True: travel runs upward and deviation to the right. False: travel to the right, deviation upward. */
  readonly upright: boolean;
}

type Place = readonly [number, number];

export function slotPlugin({ edges, palette, upright }: SlotLook): Plugin<'scatter'> {
  return {
    id: 'slot',
    beforeDatasetsDraw(chart) {
      const { ctx, chartArea } = chart;
      const first = edges[0];
      if (first === undefined || chartArea === undefined) return;
      const place = placer(chart, upright);
      ctx.save();
      ctx.beginPath();
      ctx.rect(chartArea.left, chartArea.top, chartArea.width, chartArea.height);
      ctx.clip();
      fillBeyond(ctx, edges, place, hatch(ctx, palette.hatch), 0);
      if (edges.every((edge) => edge.uncertaintyDb !== null)) fillGrain(ctx, edges, place, grain(ctx, palette.grain));
      ctx.strokeStyle = palette.inkSoft;
      ctx.lineWidth = 1.5;
      strokeLine(
        ctx,
        edges.map((edge) => place(edge.travelMm, edge.lowerDb)),
      );
      const upper = edges.filter((edge) => edge.upperDb !== null);
      strokeLine(
        ctx,
        upper.map((edge) => place(edge.travelMm, edge.upperDb ?? 0)),
      );
      ctx.strokeStyle = palette.accent;
      ctx.lineWidth = 2.5;
      strokeLine(ctx, [place(first.travelMm, 0), place(edges.at(-1)?.travelMm ?? first.travelMm, 0)]);
      ctx.restore();
    },
  };
}

function placer(chart: Chart<'scatter', (number | ScatterDataPoint | null)[]>, upright: boolean) {
  const { x, y } = chart.scales;
  return (travelMm: number, deviationDb: number): Place => {
    const [h, v] = upright ? [deviationDb, travelMm] : [travelMm, deviationDb];
    return [x?.getPixelForValue(h) ?? 0, y?.getPixelForValue(v) ?? 0];
  };
}

const farDb = 1_000;

function fillBeyond(
  ctx: CanvasRenderingContext2D,
  edges: readonly SlotEdge[],
  place: (travelMm: number, deviationDb: number) => Place,
  fill: CanvasPattern | string,
  insetDb: number,
): void {
  ctx.fillStyle = fill;
  fillArea(ctx, [
    ...edges.map((edge) => place(edge.travelMm, edge.lowerDb + insetDb)),
    ...edges.toReversed().map((edge) => place(edge.travelMm, -farDb)),
  ]);
  fillArea(ctx, [
    ...edges.map((edge) => place(edge.travelMm, (edge.upperDb ?? farDb) - insetDb)),
    ...edges.toReversed().map((edge) => place(edge.travelMm, farDb)),
  ]);
}

function fillGrain(
  ctx: CanvasRenderingContext2D,
  edges: readonly SlotEdge[],
  place: (travelMm: number, deviationDb: number) => Place,
  fill: CanvasPattern | string,
): void {
  ctx.fillStyle = fill;
  const stripe = (limit: (edge: SlotEdge) => number | null): void => {
    const limited = edges.filter((edge) => limit(edge) !== null);
    fillArea(ctx, [
      ...limited.map((edge) => place(edge.travelMm, (limit(edge) ?? 0) - (edge.uncertaintyDb ?? 0))),
      ...limited.toReversed().map((edge) => place(edge.travelMm, (limit(edge) ?? 0) + (edge.uncertaintyDb ?? 0))),
    ]);
  };
  stripe((edge) => edge.lowerDb);
  stripe((edge) => edge.upperDb);
}

function fillArea(ctx: CanvasRenderingContext2D, places: readonly Place[]): void {
  if (places.length < 3) return;
  ctx.beginPath();
  for (const [x, y] of places) ctx.lineTo(x, y);
  ctx.closePath();
  ctx.fill();
}

function strokeLine(ctx: CanvasRenderingContext2D, places: readonly Place[]): void {
  if (places.length < 2) return;
  ctx.beginPath();
  for (const [x, y] of places) ctx.lineTo(x, y);
  ctx.stroke();
}

/** Each pattern is made once for each colour: a tile for every drawing would be thousands a day. */
const patterns = new Map<string, CanvasPattern>();

function pattern(
  ctx: CanvasRenderingContext2D,
  name: string,
  colour: string,
  size: number,
  draw: (pen: CanvasRenderingContext2D) => void,
): CanvasPattern | string {
  const key = `${name} ${colour}`;
  const known = patterns.get(key);
  if (known !== undefined) return known;
  const canvas = document.createElement('canvas');
  canvas.width = size;
  canvas.height = size;
  const pen = canvas.getContext('2d');
  if (pen === null) return colour;
  draw(pen);
  const made = ctx.createPattern(canvas, 'repeat');
  if (made === null) return colour;
  patterns.set(key, made);
  return made;
}

const hatchPx = 9;

const hatch = (ctx: CanvasRenderingContext2D, colour: string): CanvasPattern | string =>
  pattern(ctx, 'hatch', colour, hatchPx, (pen) => {
    pen.strokeStyle = colour;
    pen.lineWidth = 1.5;
    pen.beginPath();
    for (const shift of [-hatchPx, 0, hatchPx]) {
      pen.moveTo(shift, hatchPx);
      pen.lineTo(shift + hatchPx, 0);
    }
    pen.stroke();
  });

const grain = (ctx: CanvasRenderingContext2D, colour: string): CanvasPattern | string =>
  pattern(ctx, 'grain', colour, 5, (pen) => {
    pen.fillStyle = colour;
    pen.fillRect(0, 0, 1.5, 1.5);
    pen.fillRect(2.5, 2.5, 1.5, 1.5);
  });
