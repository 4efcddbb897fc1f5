/** Reasons and next steps in plain words. */
import type { Law } from '../law/build.ts';
import type { JudgedCheck, JudgedPoint } from './readings.ts';
import type { Zone } from './zones.ts';

/** Two figures of U decide how many decimals make sense; never fewer than two, never more than four. */
function db(value: number, uncertaintyDb: number | null): string {
  const decimals = uncertaintyDb !== null && uncertaintyDb > 0 ? Math.ceil(-Math.log10(uncertaintyDb)) + 1 : 2;
  return value.toFixed(Math.min(4, Math.max(2, decimals)));
}

/** `Point 12 of 21 at 36.0 mm (-25 mark)`: where on the fader, in the words printed on it. */
export function pointName(law: Law, pointIndex: number): string {
  const point = law.points[pointIndex];
  if (point === undefined) return `Point ${pointIndex + 1}`;
  const mark = law.marks.find((candidate) => Math.abs(candidate.travelMm - point.travelMm) < 0.05);
  const at = mark === undefined ? '' : ` (mark ${mark.text})`;
  return `Point ${pointIndex + 1} of ${law.points.length} at ${point.travelMm.toFixed(1)} mm${at}`;
}

/** What is wrong, or not known, at a point. `why` = the reason of a void. */
export function pointSentence(law: Law, point: JudgedPoint, why: string | null): string {
  const name = pointName(law, point.pointIndex);
  const { deviationDb, uncertaintyDb } = point;
  if (point.zone === 'void' || deviationDb === null || uncertaintyDb === null) {
    return `${name}: ${why ?? 'could not be judged'}.`;
  }
  const isQuiet = deviationDb > 0;
  const limit = isQuiet ? point.upperDb : point.lowerDb;
  const amount = `${db(Math.abs(deviationDb), uncertaintyDb)} dB ${isQuiet ? 'too quiet' : 'too loud'}`;
  const against = limit === null ? 'no limit on this side' : `limit ${db(Math.abs(limit), null)} dB`;
  const close = point.zone === 'doubt' ? ', too close to the limit to tell' : '';
  return `${name}: ${amount}, ${against}, U ${db(uncertaintyDb, uncertaintyDb)} dB${close}`;
}

const checkNames: Readonly<Record<JudgedCheck['name'], string>> = {
  closedLoss: 'Closed loss',
  openLoss: 'Open loss',
  totalResistance: 'Total resistance',
  play: 'Play',
};

const figure: Readonly<Record<JudgedCheck['unit'], (value: number) => string>> = {
  dB: (value) => `${value.toFixed(2)} dB`,
  ohm: (value) => `${value.toFixed(0)} ohm`,
  mm: (value) => `${value.toFixed(3)} mm`,
};

/** What is wrong, or not known, about a check. `why` = the reason of a void. */
export function checkSentence(check: JudgedCheck, why: string | null): string {
  const name = checkNames[check.name];
  const inUnit = figure[check.unit];
  if (check.zone === 'void' || check.value === null) return `${name}: ${why ?? 'could not be judged'}.`;
  const limits = [
    check.lower === null ? null : `at least ${inUnit(check.lower)}`,
    check.upper === null ? null : `at most ${inUnit(check.upper)}`,
  ].filter((limit) => limit !== null);
  const u = check.uncertainty === null ? '' : `, U ${inUnit(check.uncertainty)}`;
  const close = check.zone === 'doubt' ? ', too close to the limit to tell' : '';
  return `${name} ${inUnit(check.value)}, ${limits.join(' and ')} allowed${u}${close}`;
}

/** What to do next for each word; the job may know better. */
export const nextSteps: Readonly<Record<Zone, string>> = {
  pass: 'Take the fader out and put it with the good ones.',
  doubt: 'Set it aside as not proved: this bench cannot tell, and measuring again will not make it good.',
  fail: 'Set it aside as rejected, with this result.',
  void: 'Mend what the reason says, then measure this fader again.',
};
