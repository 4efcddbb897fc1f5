/** Lines of a law for its chart: loss, limits and slope over travel, as places with travel upward. Pure. */
import type { Law } from '../../../src/law/build.ts';
import { lossAt } from '../../../src/law/curve.ts';
import { slotEdges } from '../../charts/slot-edges.ts';

export interface Place {
  /** dB, or dB per mm. NaN = the line is broken here. */
  readonly x: number;
  /** Travel, mm. */
  readonly y: number;
}

/** Where the contact of a stepped law gives way to the next: half way between. */
function contactEdges(
  law: Law,
): readonly { readonly fromMm: number; readonly toMm: number; readonly lossDb: number }[] {
  return law.points.map((point, index) => {
    const before = law.points[index - 1];
    const after = law.points[index + 1];
    return {
      fromMm: before === undefined ? point.travelMm : (before.travelMm + point.travelMm) / 2,
      toMm: after === undefined ? point.travelMm : (after.travelMm + point.travelMm) / 2,
      lossDb: point.lossDb,
    };
  });
}

export function lossLine(law: Law): readonly Place[] {
  if (law.interpolation === 'stepped') {
    return contactEdges(law).flatMap(({ fromMm, toMm, lossDb }) => [
      { x: lossDb, y: fromMm },
      { x: lossDb, y: toMm },
    ]);
  }
  return law.points.map((point) => ({ x: point.lossDb, y: point.travelMm }));
}

/** The loss at which the fader is too loud, and at which it is too quiet; broken where any greater loss is allowed. */
export function limitLines(law: Law): { readonly loud: readonly Place[]; readonly quiet: readonly Place[] } {
  const edges = slotEdges(law);
  const place = (travelMm: number, deviationDb: number | null): Place => ({
    x: deviationDb === null ? Number.NaN : (lossAt(law, travelMm) ?? Number.NaN) + deviationDb,
    y: travelMm,
  });
  return {
    loud: edges.map((edge) => place(edge.travelMm, edge.lowerDb)),
    quiet: edges.map((edge) => place(edge.travelMm, edge.upperDb)),
  };
}

/**
 * How fast the loss falls as the fader opens: dB per mm between two points; for a stepped law the step in dB from each
 * contact to the next.
 */
export function slopeLine(law: Law): readonly Place[] {
  const places: Place[] = [];
  for (const [index, high] of law.points.entries()) {
    const low = law.points[index - 1];
    if (low === undefined) continue;
    const fallDb = low.lossDb - high.lossDb;
    const x = law.interpolation === 'stepped' ? fallDb : fallDb / (high.travelMm - low.travelMm);
    places.push({ x, y: low.travelMm }, { x, y: high.travelMm });
  }
  return places;
}

/** Ends of an axis between 1 and 10, and the step that divides each without remainder. Their halves are short numbers too. */
const axisSteps = [
  [1, 0.2],
  [1.5, 0.5],
  [2, 0.5],
  [3, 1],
  [4, 1],
  [5, 1],
  [6, 2],
  [8, 2],
  [10, 2],
] as const;

/** A round end for an axis from zero that holds every line, and the step between its figures. */
export function axisFor(lines: readonly (readonly Place[])[]): { readonly end: number; readonly step: number } {
  const most = lines.flat().reduce((max, { x }) => (Number.isNaN(x) ? max : Math.max(max, x)), 0);
  if (most <= 0) return { end: 1, step: 0.2 };
  const unit = 10 ** Math.floor(Math.log10(most));
  const [end, step] = axisSteps.find(([size]) => size * unit >= most - 1e-9) ?? [10, 2];
  const exact = (value: number): number => Math.round(value * unit * 1e6) / 1e6;
  return { end: exact(end), step: exact(step) };
}
