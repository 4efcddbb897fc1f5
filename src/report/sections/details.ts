/** Every number of every fader, folded away under its serial. */
import type { CheckRecord, PointRecord, RunRecord } from '../../archive/records.ts';
import type { LawData } from '../../law/law.ts';
import type { Batch, BatchFader } from '../batch-faders.ts';
import { escapeHtml } from '../escape.ts';
import { dateTime, deviationLimits, duration, fixed, gap, limits, ohm, ohmLimits, signed } from '../format.ts';
import { markAt } from '../point-words.ts';
import { verdictHtml } from '../words.ts';

const checkNames: Readonly<Record<CheckRecord['name'], string>> = {
  closedLoss: 'Loss on the closed stop',
  openLoss: 'Loss on the open stop',
  totalResistance: 'Track resistance',
  play: 'Play',
};

const unitText: Readonly<Record<CheckRecord['unit'], string>> = { dB: 'dB', ohm: 'Ω', mm: 'mm' };

const checkNumber = (value: number | null, unit: CheckRecord['unit']): string =>
  unit === 'ohm' ? ohm(value) : fixed(value, unit === 'mm' ? 3 : 2);

const checkLimits = (check: CheckRecord): string => {
  if (check.unit === 'ohm') return ohmLimits(check.lower, check.upper);
  return limits(check.lower, check.upper, check.unit === 'mm' ? 3 : 2);
};

const pointRow = (point: PointRecord, law: LawData, isWorst: boolean): string => {
  const mark = markAt(law, point.travelMm);
  // Thousands of these rows make up most of a report, so they are kept short: a plain pass has no shape, and
  // HTML lets cells and rows go without end tags.
  const zone = point.zone === 'pass' ? 'pass' : verdictHtml(point.zone);
  const reason = point.reason === null ? '' : `<small>${escapeHtml(point.reason)}</small>`;
  const cells = [
    mark === null ? '' : escapeHtml(mark),
    fixed(point.lawDb, 2),
    deviationLimits(point.lowerDb, point.upperDb),
    signed(point.upDeviationDb, 2),
    signed(point.downDeviationDb, 2),
    signed(point.deviationDb, 2),
    fixed(point.uncertaintyDb, 2),
    fixed(point.playMm, 3),
    zone + reason,
  ];
  return `<tr${isWorst ? ' class="worst"' : ''}><th scope="row">${fixed(point.travelMm, 1)}${cells.map((cell) => `<td>${cell}`).join('')}`;
};

const pointsTable = (run: RunRecord, law: LawData): string => {
  if (run.points.length === 0) return '<p class="empty">No law point was reached.</p>';
  const rows = run.points.map((point) => pointRow(point, law, point.pointIndex === run.worstPointIndex));
  return `<div class="table-frame"><table class="points"><thead><tr><th scope="col">Travel<small>mm</small></th><th scope="col">Mark</th><th scope="col">Law<small>dB</small></th><th scope="col">Limits<small>dB</small></th><th scope="col">Up<small>dB</small></th><th scope="col">Down<small>dB</small></th><th scope="col">Mean<small>dB</small></th><th scope="col">U<small>dB</small></th><th scope="col">Play<small>mm</small></th><th scope="col">Zone</th></tr></thead><tbody>${rows.join('')}</tbody></table></div>`;
};

const checksTable = (run: RunRecord): string => {
  if (run.checks.length === 0) return '';
  const rows = run.checks.map(
    (check) =>
      `<tr><th scope="row">${checkNames[check.name]}<small>${unitText[check.unit]}, ${checkLimits(check)}</small></th>` +
      `<td>${checkNumber(check.value, check.unit)}${check.uncertainty === null ? '' : `<small>± ${checkNumber(check.uncertainty, check.unit)}</small>`}</td>` +
      `<td class="zone-cell">${verdictHtml(check.zone)}${check.reason === null ? '' : `<small>${escapeHtml(check.reason)}</small>`}</td></tr>`,
  );
  return `<table class="checks"><thead><tr><th scope="col">Check</th><th scope="col">Value</th><th scope="col">Zone</th></tr></thead><tbody>${rows.join('')}</tbody></table>`;
};

const runFacts = (run: RunRecord): string => {
  const rig = run.rig === null ? 'none' : `${run.rig.model} ${run.rig.serial}${run.rig.isVirtual ? ' (virtual)' : ''}`;
  const facts: [string, string][] = [
    ['Run', run.runId],
    ['Started', dateTime(run.startedAt)],
    ['Took', duration(run.startedAt, run.endedAt)],
    ['Outcome', run.outcomeReason === null ? run.outcome : `${run.outcome}: ${run.outcomeReason}`],
    ['Operator', run.operator],
    ['Rig', rig],
    ['Calibration', run.calibrationId ?? 'none'],
    ['Electrical ends', `${fixed(run.closedEndMm, 2)} mm, ${fixed(run.openEndMm, 2)} mm`],
    ['Readings', String(run.readings.length)],
  ];
  return `<dl class="run-facts">${facts.map(([name, value]) => `<div><dt>${name}</dt><dd>${escapeHtml(value)}</dd></div>`).join('')}</dl>`;
};

const otherRunsHtml = (fader: BatchFader): string => {
  if (fader.otherRuns.length === 0) return '';
  const items = fader.otherRuns.map(
    (run) =>
      `<li>${verdictHtml(run.verdict)} ${escapeHtml(dateTime(run.startedAt))}, ${escapeHtml(run.operator)}, ` +
      `worst ${signed(run.worstDeviationDb, 2)} dB: ${escapeHtml(run.verdictReason || gap)}</li>`,
  );
  return `<h4>Other runs of this fader</h4><ol class="other-runs">${items.join('')}</ol>`;
};

const detailHtml = (fader: BatchFader, number: number, law: LawData): string => {
  const { run } = fader;
  return (
    `<details id="fader-${number}"><summary><span class="serial">${escapeHtml(fader.serial)}</span>${verdictHtml(run.verdict)}` +
    `<span class="reason">${escapeHtml(run.verdictReason)}</span></summary>` +
    `<div class="detail"><div>${pointsTable(run, law)}</div><div>${checksTable(run)}${runFacts(run)}${otherRunsHtml(fader)}</div></div></details>`
  );
};

/** One folded block per fader, in the order of measuring. */
export function detailsHtml(batch: Batch, law: LawData): string {
  if (batch.faders.length === 0) return '';
  const blocks = batch.faders.map((fader, index) => detailHtml(fader, index + 1, law));
  return `<section class="details" aria-labelledby="details-title">
<h2 id="details-title">Every number</h2>
<p class="under">One block per fader, in the order of measuring. Open blocks are printed, closed ones are not.</p>
${blocks.join('\n')}
</section>`;
}
