/** The table of faders: what needs attention first, one line each. */
import type { CheckRecord, PointRecord, RunRecord } from '../../archive/records.ts';
import type { LawData } from '../../law/law.ts';
import { type Batch, type BatchFader, worstPoint } from '../batch-faders.ts';
import { escapeHtml } from '../escape.ts';
import { dateTime, duration, fixed, gap, ohm, signed } from '../format.ts';
import { deviationSense, pointWords } from '../point-words.ts';
import { attentionOrder, verdictHtml } from '../words.ts';

export const checkOf = (run: RunRecord, name: CheckRecord['name']): CheckRecord | null =>
  run.checks.find((check) => check.name === name) ?? null;

/** Deviation as a share of the limit on its side; an open side is measured by the other one. */
const shareOfLimit = (point: PointRecord): number | null => {
  if (point.deviationDb === null) return null;
  const limit = point.deviationDb < 0 ? point.lowerDb : (point.upperDb ?? point.lowerDb);
  return limit === 0 ? null : point.deviationDb / Math.abs(limit);
};

/**
 * Small picture of a run: deviation as a share of its limits along the travel, closed end at the left.
 * Missing points leave the line open.
 */
export function profileSvg(run: RunRecord, law: LawData): string {
  const strokes: string[] = [];
  let stroke: string[] = [];
  const dots: string[] = [];
  const finish = (): void => {
    if (stroke.length === 1) dots.push(stroke[0] ?? '');
    else if (stroke.length > 1) strokes.push(`M${stroke.join('L')}`);
    stroke = [];
  };
  law.points.forEach((lawPoint, pointIndex) => {
    const point = run.points.find((candidate) => candidate.pointIndex === pointIndex);
    const part = point === undefined ? null : shareOfLimit(point);
    if (part === null) {
      finish();
      return;
    }
    const x = 2 + (lawPoint.travelMm / law.travelMm) * 116;
    const y = 17 - Math.max(-1.5, Math.min(1.5, part)) * 10.5;
    stroke.push(`${x.toFixed(1)} ${y.toFixed(1)}`);
  });
  finish();
  const marks = dots.map((at) => {
    const [x, y] = at.split(' ');
    return `<circle cx="${x}" cy="${y}" r="1.5"/>`;
  });
  return (
    `<svg class="profile is-${run.verdict}" viewBox="0 0 120 34" aria-hidden="true"><rect x="0" y="6.5" width="120" height="21"/>` +
    `<path class="zero" d="M0 17H120"/>${strokes.length === 0 ? '' : `<path d="${strokes.join('')}"/>`}${marks.join('')}</svg>`
  );
}

const flagged = (check: CheckRecord | null, text: string): string => {
  if (check === null || check.value === null) return `<td class="n">${gap}</td>`;
  const mark = check.zone === 'pass' ? '' : ` class="off is-${check.zone}" title="${check.zone}"`;
  return check.zone === 'pass'
    ? `<td class="n">${text}</td>`
    : `<td class="n"><span${mark}>${text}<small>${check.zone}</small></span></td>`;
};

const worstCells = (run: RunRecord, law: LawData): string => {
  const worst = worstPoint(run);
  if (run.verdict === 'void' || worst === null || worst.deviationDb === null) {
    return `<td class="why" colspan="3">${escapeHtml(run.verdictReason || run.outcomeReason || 'nothing measured')}</td>`;
  }
  const limit = worst.deviationDb < 0 ? worst.lowerDb : worst.upperDb;
  const sense = worst.deviationDb === 0 ? 'on the law' : deviationSense(worst.deviationDb, worst.zone);
  return (
    `<td>${escapeHtml(pointWords(law, worst.travelMm))}<small>${sense}</small></td>` +
    `<td class="n">${signed(worst.deviationDb, 2)}<small>limit ${limit === null ? 'none' : signed(limit, 2)}</small></td>` +
    `<td class="n">${fixed(worst.uncertaintyDb, 2)}</td>`
  );
};

const attempts = ({ otherRuns, failedBefore }: BatchFader): string => {
  if (otherRuns.length === 0) return '';
  return `<small>${otherRuns.length + 1} runs${failedBefore ? ', <b class="is-fail">failed before</b>' : ''}</small>`;
};

const rowHtml = (fader: BatchFader, number: number, law: LawData): string => {
  const { run, serial } = fader;
  const [total, closed, play] = [checkOf(run, 'totalResistance'), checkOf(run, 'closedLoss'), checkOf(run, 'play')];
  return (
    `<tr><th scope="row"><a href="#fader-${number}">${escapeHtml(serial)}</a>${attempts(fader)}</th>` +
    `<td>${verdictHtml(run.verdict)}</td><td class="profile-cell">${profileSvg(run, law)}</td>${worstCells(run, law)}` +
    flagged(total, ohm(total?.value)) +
    flagged(closed, fixed(closed?.value, 1)) +
    flagged(play, fixed(play?.value, 3)) +
    `<td class="n"><time datetime="${escapeHtml(run.startedAt)}" title="${escapeHtml(dateTime(run.startedAt))}">${duration(run.startedAt, run.endedAt)}</time></td></tr>`
  );
};

export function fadersHtml(batch: Batch, law: LawData): string {
  const numbered = batch.faders.map((fader, index) => ({ fader, number: index + 1 }));
  const rows = attentionOrder.flatMap((word) =>
    numbered.filter(({ fader }) => fader.run.verdict === word).map(({ fader, number }) => rowHtml(fader, number, law)),
  );
  const body =
    rows.length === 0
      ? '<tr><td class="empty" colspan="10">No fader has been measured yet. Each one gets a line here, with its worst point.</td></tr>'
      : rows.join('\n');
  return `<section aria-labelledby="faders-title">
<h2 id="faders-title">Faders</h2>
<p class="under">What needs attention stands first. The small picture shows deviation as a share of its limits, closed end at the left.</p>
<div class="table-frame"><table class="faders">
<thead><tr><th scope="col">Serial</th><th scope="col">Verdict</th><th scope="col">Deviation over travel</th><th scope="col">Worst point</th><th scope="col" class="n">Deviation<small>dB</small></th><th scope="col" class="n">U<small>dB</small></th><th scope="col" class="n">Track<small>Ω</small></th><th scope="col" class="n">Closed<small>dB</small></th><th scope="col" class="n">Play<small>mm</small></th><th scope="col" class="n">Time</th></tr></thead>
<tbody>
${body}
</tbody></table></div>
</section>`;
}
