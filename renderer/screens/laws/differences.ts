/** What differs between two revisions of a law, field by field and point by point. Pure. */
import type { LawData, LawPoint } from '../../../src/law/law.ts';
import { markText } from '../../charts/travel-ticks.ts';
import { dash, numberText } from '../../format/numbers.ts';

export interface Difference {
  /** `Closed loss, at least`, `12.0 mm, loss`. */
  readonly what: string;
  /** Texts of the first and the second; a dash where it has none. */
  readonly first: string;
  readonly second: string;
}

const shown = (value: number | null | undefined, unit: string): string =>
  value === null || value === undefined ? dash : `${numberText(value, placesOf(value))} ${unit}`;

/** As many places as the number has, at most six. */
function placesOf(value: number): number {
  const text = String(Math.round(value * 1e6) / 1e6);
  return text.includes('.') ? text.length - text.indexOf('.') - 1 : 0;
}

const facts: readonly (readonly [string, (law: LawData) => string])[] = [
  ['Title', (law) => law.title],
  ['Nominal travel', (law) => shown(law.travelMm, 'mm')],
  ['Closed loss, at least', (law) => shown(law.closedMinLossDb, 'dB')],
  ['Open loss, at most', (law) => shown(law.openMaxLossDb, 'dB')],
  ['Track', (law) => shown(law.resistance.nominalOhm, 'ohm')],
  ['Track tolerance', (law) => shown(law.resistance.toleranceFraction * 100, '%')],
  ['Load', (law) => (law.loadOhm === null ? 'unloaded' : shown(law.loadOhm, 'ohm'))],
  ['Play, at most', (law) => shown(law.limits.maxPlayMm, 'mm')],
  ['Between points', (law) => (law.interpolation === 'stepped' ? 'contacts' : 'straight in dB')],
];

const pointFacts: readonly (readonly [string, (point: LawPoint) => string])[] = [
  ['loss', (point) => shown(point.lossDb, 'dB')],
  ['minus', (point) => shown(point.minusDb, 'dB')],
  ['plus', (point) => (point.plusDb === null ? 'any' : shown(point.plusDb, 'dB'))],
  ['travel tolerance', (point) => shown(point.travelTolMm ?? 0, 'mm')],
];

export function differences(first: LawData, second: LawData): readonly Difference[] {
  const rows: Difference[] = [];
  const add = (what: string, a: string, b: string): void => {
    if (a !== b) rows.push({ what, first: a, second: b });
  };
  for (const [what, text] of facts) add(what, text(first), text(second));
  const travels = new Set([...first.points, ...second.points].map((point) => point.travelMm));
  for (const travelMm of [...travels].toSorted((a, b) => b - a)) {
    const [a, b] = [first, second].map((law) => law.points.find((point) => point.travelMm === travelMm));
    const place = shown(travelMm, 'mm');
    if (a === undefined || b === undefined) {
      const whole = (point: LawPoint | undefined): string =>
        point === undefined ? dash : `point at ${shown(point.lossDb, 'dB')}`;
      add(place, whole(a), whole(b));
    } else for (const [what, text] of pointFacts) add(`${place}, ${what}`, text(a), text(b));
  }
  const [a, b] = [first, second].map((law) => new Map(law.marks.map((mark) => [markText(mark.text), mark.travelMm])));
  for (const text of new Set([...(a?.keys() ?? []), ...(b?.keys() ?? [])])) {
    add(`Mark ${text}`, shown(a?.get(text), 'mm'), shown(b?.get(text), 'mm'));
  }
  return rows;
}
