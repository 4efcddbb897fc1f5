/** Top of the report: what this is, how it came out, what to do next, and who measured it with what. */
import type { RunRecord } from '../../archive/records.ts';
import type { LawData } from '../../law/law.ts';
import type { Calibration } from '../../trust/calibration.ts';
import { type Batch, verdictCounts } from '../batch-faders.ts';
import { escapeHtml } from '../escape.ts';
import { count, dateTime, fixed, listing, ohm, share } from '../format.ts';
import { nextSentence } from '../next-sentence.ts';
import { shapeSvg, verdictOrder } from '../words.ts';

export interface HeadInput {
  readonly title: string;
  readonly batch: string | null;
  readonly law: LawData;
  readonly runs: readonly RunRecord[];
  readonly gathered: Batch;
  readonly calibration: Calibration | null;
  readonly programVersion: string;
  readonly madeAt: string;
  readonly isVirtual: boolean;
  readonly notes: readonly string[];
}

/** From this many faders on, the row of shapes is set small and left out of the keyboard's way. */
const manyFaders = 60;

const distinct = (texts: readonly string[]): string[] => [...new Set(texts)];

const countsHtml = (batch: Batch): string => {
  const counts = verdictCounts(batch.faders);
  const cells = verdictOrder.map((word) => {
    const none = counts[word] === 0 ? ' is-none' : '';
    return (
      `<li class="count is-${word}${none}">${shapeSvg(word)}<span class="count-number">${counts[word]}</span>` +
      `<span class="count-word">${word}</span><span class="count-share">${share(counts[word], batch.faders.length)}</span></li>`
    );
  });
  return `<ul class="counts" aria-label="Verdicts of ${count(batch.faders.length, 'fader')}">${cells.join('')}</ul>`;
};

const rowOfShapes = (batch: Batch): string => {
  if (batch.faders.length < 2) return '';
  const many = batch.faders.length > manyFaders;
  const items = batch.faders.map(({ serial, run }, index) => {
    const label = escapeHtml(`${serial}: ${run.verdict}`);
    return (
      `<li><a href="#fader-${index + 1}" title="${label}" aria-label="${label}"${many ? ' tabindex="-1"' : ''}>` +
      `${shapeSvg(run.verdict)}</a></li>`
    );
  });
  return (
    `<figure class="row-of-shapes${many ? ' is-small' : ''}"><ol>${items.join('')}</ol>` +
    `<figcaption>The batch in the order of measuring</figcaption></figure>`
  );
};

const noticesOf = (input: HeadInput): string[] => {
  const { gathered, calibration, runs } = input;
  const notices: string[] = [];
  if (input.isVirtual) {
    notices.push('Measured on a virtual rig: these numbers come from a simulation, and no real fader was touched.');
  }
  if (runs.length > 0 && calibration === null) {
    notices.push('No calibration is known for these runs, so nothing here can be traced to a standard.');
  }
  if (calibration !== null) {
    const late = runs.filter((run) => Date.parse(run.endedAt) > Date.parse(calibration.dueAt)).length;
    if (late > 0) notices.push(`${count(late, 'run')} ended after the calibration was due.`);
    const others = distinct(
      runs.flatMap((run) =>
        run.calibrationId === null || run.calibrationId === calibration.id ? [] : [run.calibrationId],
      ),
    );
    if (others.length > 0) notices.push(`Some runs used another calibration: ${listing(others)}.`);
    const without = runs.filter((run) => run.calibrationId === null).length;
    if (without > 0) notices.push(`${count(without, 'run')} had no calibration.`);
  }
  if (gathered.otherLaw.length > 0) {
    const laws = distinct(gathered.otherLaw.map((run) => `${run.lawId} revision ${run.lawRevision}`));
    notices.push(
      `${count(gathered.otherLaw.length, 'run')} of this batch followed another law (${listing(laws)}) and ` +
        `${gathered.otherLaw.length === 1 ? 'is' : 'are'} not counted here.`,
    );
  }
  const repeated = gathered.faders.filter(({ otherRuns }) => otherRuns.length > 0).length;
  if (repeated > 0) {
    notices.push(
      `${count(repeated, 'fader')} ${repeated === 1 ? 'was' : 'were'} measured more than once. The last run that gave a ` +
        `verdict counts; the others stand with the fader's details.`,
    );
  }
  return [...notices, ...input.notes];
};

const jobWords: Readonly<Record<RunRecord['job'], string>> = {
  trim: 'trim',
  goodsIn: 'goods-in',
  retest: 'retest',
  measure: 'a measurement',
};

const leadOf = ({ gathered, law, runs }: HeadInput): string => {
  const jobs = distinct(runs.map(({ job }) => jobWords[job]));
  const purpose = jobs.length === 0 ? '' : `, measured for ${listing(jobs)}`;
  const n = gathered.faders.length === 0 ? 'No fader yet' : count(gathered.faders.length, 'fader');
  return `${n} against law ${law.id} revision ${law.revision}${purpose}`;
};

/** The sentence with its serial numbers kept in one piece where they fit a line. */
const nextHtml = ({ gathered, runs, law }: HeadInput): string => {
  const words = gathered.faders.map(({ serial }) => serial).filter((serial) => /^[A-Z0-9-]{6,24}$/.test(serial));
  const html = escapeHtml(nextSentence(runs, law));
  if (words.length === 0) return html;
  const known = new Set(words);
  return html.replace(/[A-Z0-9-]{6,24}/g, (word) =>
    known.has(word) ? `<span class="serial-word">${word}</span>` : word,
  );
};

const factRow = (name: string, value: string): string => `<div><dt>${name}</dt><dd>${value}</dd></div>`;

const factsHtml = (input: HeadInput): string => {
  const { law, runs, calibration } = input;
  const starts = runs.map((run) => run.startedAt).sort();
  const ends = runs.map((run) => run.endedAt).sort();
  const rigs = distinct(
    runs.flatMap(({ rig }) => (rig === null ? [] : [`${rig.model}, serial ${rig.serial}, firmware ${rig.firmware}`])),
  );
  const operators = distinct(runs.map((run) => run.operator));
  const tolerance = fixed(law.resistance.toleranceFraction * 100, 0);
  const [firstStart, lastEnd] = [starts[0], ends.at(-1)];
  const text = (items: readonly string[], none: string): string =>
    items.length === 0 ? none : escapeHtml(listing(items, 4));
  const rows = [
    factRow('Batch', input.batch === null ? 'not named' : escapeHtml(input.batch)),
    factRow('Law', `${escapeHtml(law.id)}, revision ${law.revision}<br>${escapeHtml(law.title)}`),
    factRow(
      'Track',
      `${ohm(law.resistance.nominalOhm)} Ω ± ${tolerance} %, ` +
        `${law.loadOhm === null ? 'law stated unloaded' : `law stated for a load of ${ohm(law.loadOhm)} Ω`}`,
    ),
    factRow('Operator', text(operators, 'nobody yet')),
    factRow(
      'Measured',
      firstStart === undefined || lastEnd === undefined
        ? 'not yet'
        : `${escapeHtml(dateTime(firstStart))}<br>to ${escapeHtml(dateTime(lastEnd))}`,
    ),
    factRow('Rig', text(rigs, 'none')),
    factRow(
      'Calibration',
      calibration === null
        ? 'none'
        : `${escapeHtml(calibration.id)}<br>made ${escapeHtml(dateTime(calibration.madeAt))} by ${escapeHtml(calibration.madeBy)}` +
            `<br><strong>due ${escapeHtml(dateTime(calibration.dueAt))}</strong>`,
    ),
    factRow('Report', `${escapeHtml(dateTime(input.madeAt))}<br>Faderwright ${escapeHtml(input.programVersion)}`),
  ];
  return `<dl class="facts">${rows.join('')}</dl>`;
};

export function headHtml(input: HeadInput): string {
  const notices = noticesOf(input).map((notice) => `<li>${escapeHtml(notice)}</li>`);
  const stamp = input.isVirtual ? '<p class="stamp">Virtual rig<span>no real fader measured</span></p>' : '';
  return `<header class="head">
<div class="outcome">
<div class="title"><div><h1>${escapeHtml(input.title)}</h1><p class="lead">${escapeHtml(leadOf(input))}</p></div>${stamp}</div>
${countsHtml(input.gathered)}
<p class="next"><span class="next-label">Next</span>${nextHtml(input)}</p>
${rowOfShapes(input.gathered)}
${notices.length === 0 ? '' : `<ul class="notices">${notices.join('')}</ul>`}
</div>
${factsHtml(input)}
</header>`;
}
