/** One piece on paper: deviation before and after against travel, and below it, on the same scale, the film with its cuts. */
import type { PointRecord } from '../../archive/records.ts';
import { bandOfPoint } from '../../law/band.ts';
import type { LawData } from '../../law/law.ts';
import type { Cut, CuttingRules } from '../../trim/trim.ts';
import { escapeHtml } from '../escape.ts';
import { fixed, signed } from '../format.ts';
import type { TrimmedPiece } from '../trim-input.ts';

const width = 1160;
const left = 58;
const right = 14;
const chartTop = 12;
const chartHeight = 210;
const filmTop = chartTop + chartHeight + 22;
const pxPerMmAcross = 12;
/** Deviations beyond this are drawn at the edge, dB. */
const mostReachDb = 3;
const leastReachDb = 0.6;

export function trimDrawing(piece: TrimmedPiece, law: LawData): string {
  const { rules } = piece;
  const x = (travelMm: number): number => left + (travelMm / law.travelMm) * (width - left - right);
  const reachDb = reachOf(piece, law);
  const y = (db: number): number =>
    chartTop + chartHeight / 2 - (Math.min(reachDb, Math.max(-reachDb, db)) / reachDb) * (chartHeight / 2);
  const filmHeight = rules.widthMm * pxPerMmAcross;
  const height = filmTop + filmHeight + 34;
  const cuts = piece.passes.flatMap((pass) => pass.cuts);
  const label = `${piece.serial}: deviation from the law before and after trimming, and the film with ${cuts.length} cuts`;
  return (
    `<svg class="trim-chart" viewBox="0 0 ${width} ${Math.ceil(height)}" role="img" aria-label="${escapeHtml(label)}">` +
    bandPath(law, x, y, reachDb) +
    axis(x, y, reachDb, law) +
    curve(piece.before.points, x, y, 'before') +
    (piece.after === piece.before ? '' : curve(piece.after.points, x, y, 'after')) +
    film(cuts, rules, x) +
    ruler(x, law.travelMm, filmTop + filmHeight) +
    '</svg>'
  );
}

function reachOf({ before, after }: TrimmedPiece, law: LawData): number {
  const seen = [...before.points, ...after.points].flatMap(({ deviationDb }) => Math.abs(deviationDb ?? 0));
  const limits = law.points.map((_, index) => Math.abs(bandOfPoint(law, index).lowerDb));
  return Math.min(mostReachDb, Math.max(leastReachDb, ...seen, ...limits) * 1.1);
}

type Scale = (value: number) => number;
const at = (value: number): string => value.toFixed(1);

/** The allowed band; open to the quiet side where the law sets no limit there. */
function bandPath(law: LawData, x: Scale, y: Scale, reachDb: number): string {
  const bands = law.points.map((point, index) => ({ travelMm: point.travelMm, ...bandOfPoint(law, index) }));
  const upper = bands.map(({ travelMm, upperDb }) => `${at(x(travelMm))},${at(y(upperDb ?? reachDb))}`);
  const lower = bands.map(({ travelMm, lowerDb }) => `${at(x(travelMm))},${at(y(lowerDb))}`).reverse();
  return `<polygon class="allowed" points="${[...upper, ...lower].join(' ')}"/>`;
}

function axis(x: Scale, y: Scale, reachDb: number, law: LawData): string {
  const step = reachDb > 2 ? 1 : reachDb > 1 ? 0.5 : 0.2;
  const steps = Math.floor(reachDb / step + 1e-9);
  const lines = Array.from({ length: 2 * steps + 1 }, (_, index) => (index - steps) * step).map((db) => {
    const kind = Math.abs(db) < 1e-9 ? 'zero' : 'grid';
    return (
      `<line class="${kind}" x1="${left}" x2="${at(x(law.travelMm))}" y1="${at(y(db))}" y2="${at(y(db))}"/>` +
      `<text x="${left - 8}" y="${at(y(db) + 4)}" text-anchor="end">${signed(db, 1)}</text>`
    );
  });
  return `${lines.join('')}<text x="${left - 50}" y="${chartTop + 2}" dy="0.4em">dB</text>`;
}

function curve(points: readonly PointRecord[], x: Scale, y: Scale, kind: 'before' | 'after'): string {
  // A gap breaks the line: nothing is drawn across what was not measured.
  const runs: string[][] = [[]];
  const dots: string[] = [];
  for (const { travelMm, deviationDb } of points) {
    if (deviationDb === null) {
      runs.push([]);
      continue;
    }
    runs.at(-1)?.push(`${at(x(travelMm))},${at(y(deviationDb))}`);
    dots.push(
      `<circle class="dot-${kind}" cx="${at(x(travelMm))}" cy="${at(y(deviationDb))}" r="${kind === 'after' ? 3.6 : 3}">` +
        `<title>${fixed(travelMm, 1)} mm, ${kind}: ${signed(deviationDb, 3)} dB</title></circle>`,
    );
  }
  const lines = runs
    .filter((run) => run.length > 1)
    .map((run) => `<polyline class="${kind}" points="${run.join(' ')}"/>`);
  return lines.join('') + dots.join('');
}

function film(cuts: readonly Cut[], rules: CuttingRules, x: Scale): string {
  const { closedEdgeMm, openEdgeMm, widthMm, swathMm } = rules;
  const from = x(closedEdgeMm);
  const length = x(openEdgeMm) - from;
  const across = widthMm * pxPerMmAcross;
  const swathTop = filmTop + ((widthMm - swathMm) / 2) * pxPerMmAcross;
  return (
    `<rect class="film" x="${at(from)}" y="${filmTop}" width="${at(length)}" height="${at(across)}"/>` +
    `<rect class="swath" x="${at(from)}" y="${at(swathTop)}" width="${at(length)}" height="${at(swathMm * pxPerMmAcross)}"/>` +
    notches(cuts, x, across)
  );
}

/** Cuts in the order of making: one on top of another begins where the first ended. */
function notches(cuts: readonly Cut[], x: Scale, acrossPx: number): string {
  const made: { side: Cut['side']; fromMm: number; toMm: number; depthMm: number }[] = [];
  return cuts
    .map((cut) => {
      const [fromMm, toMm] = cut.kind === 'shave' ? [cut.fromMm, cut.toMm] : [cut.atMm - 0.1, cut.atMm + 0.1];
      const before = made
        .filter((one) => one.side === cut.side && one.fromMm < toMm && one.toMm > fromMm)
        .reduce((deepest, { depthMm }) => Math.max(deepest, depthMm), 0);
      made.push({ side: cut.side, fromMm, toMm, depthMm: before + cut.depthMm });
      const depthPx = cut.depthMm * pxPerMmAcross;
      const topPx =
        cut.side === 'left' ? filmTop + before * pxPerMmAcross : filmTop + acrossPx - before * pxPerMmAcross - depthPx;
      const text = `cut ${cut.number}: ${cut.kind}, ${fixed(fromMm, 1)} to ${fixed(toMm, 1)} mm, ${fixed(cut.depthMm, 2)} mm deep, ${cut.side}`;
      return (
        `<rect class="notch" x="${at(x(fromMm))}" y="${at(topPx)}" width="${at(Math.max(1, x(toMm) - x(fromMm)))}" ` +
        `height="${at(Math.max(0.6, depthPx))}"><title>${text}</title></rect>`
      );
    })
    .join('');
}

function ruler(x: Scale, travelMm: number, topPx: number): string {
  const ticks = Array.from({ length: Math.floor(travelMm / 10) + 1 }, (_, index) => index * 10);
  return ticks
    .map(
      (mm) =>
        `<line class="grid" x1="${at(x(mm))}" x2="${at(x(mm))}" y1="${at(topPx + 3)}" y2="${at(topPx + 10)}"/>` +
        `<text x="${at(x(mm))}" y="${at(topPx + 24)}" text-anchor="middle">${mm}${mm === 0 ? ' mm' : ''}</text>`,
    )
    .join('');
}
