import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import type { RunRecord } from '../../src/archive/records.ts';
import type { LawData } from '../../src/law/law.ts';
import { type BatchReportInput, renderBatchReport } from '../../src/report/batch-report.ts';
import type { ChartData } from '../../src/report/chart-data.ts';
import { verdictOrder } from '../../src/report/words.ts';
import { programmeFader, steppedFader } from './sample-laws.ts';
import { sampleBatch, sampleCalibration, sampleRun } from './sample-runs.ts';

const render = (runs: readonly RunRecord[], more: Partial<BatchReportInput> = {}): string =>
  renderBatchReport({
    title: 'Batch TFW-26-48',
    batch: 'TFW-26-48',
    law: programmeFader,
    runs,
    calibration: sampleCalibration,
    programVersion: '0.1.0',
    madeAt: '2026-11-25T09:30:00Z',
    isVirtual: false,
    ...more,
  });

const inside = (html: string, tag: 'script' | 'style'): string[] =>
  [...html.matchAll(new RegExp(`<${tag}>(.*?)</${tag}>`, 'gs'))].map((match) => match[1] ?? '');

/** The page without its scripts and style: what a reader could be tricked by. */
const markup = (html: string): string =>
  html.replaceAll(/<script[^>]*>.*?<\/script>/gs, '').replaceAll(/<style>.*?<\/style>/gs, '');

const embedded = (html: string): ChartData => {
  const [, json] = /<script type="application\/json" id="report-data">(.*?)<\/script>/s.exec(html) ?? [];
  return (JSON.parse(json ?? '') as { charts: ChartData }).charts;
};

const level = (share: number): number[] => programmeFader.points.map((point) => share * point.minusDb);
const oneRun = sampleRun('PF104-26-48-00017', level(0.3));
const batch = sampleBatch({ size: 24, seed: 7, faultShare: 0.2, voidShare: 0.1 });

describe('the file stands alone', () => {
  const html = render(batch);

  it('allows exactly its own scripts and style, by their hashes', () => {
    const [, policy = ''] = /<meta http-equiv="Content-Security-Policy" content="([^"]*)">/.exec(html) ?? [];
    const hash = (text: string): string => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;
    const directives = new Map(
      policy.split('; ').map((directive): [string, string[]] => {
        const [name = '', ...values] = directive.split(' ');
        return [name, values];
      }),
    );
    expect(directives.get('default-src')).toEqual(["'none'"]);
    expect(inside(html, 'script')).toHaveLength(2);
    expect(directives.get('script-src')).toEqual(inside(html, 'script').map(hash));
    expect(directives.get('style-src')).toEqual(inside(html, 'style').map(hash));
    expect([...directives.keys()].sort()).toEqual([
      'base-uri',
      'default-src',
      'form-action',
      'script-src',
      'style-src',
    ]);
  });

  it('puts the policy before anything that it governs', () => {
    expect(html.indexOf('Content-Security-Policy')).toBeLessThan(html.search(/<(style|script|link)/));
  });

  it('loads nothing: no address in any attribute, style or script beyond the library’s own notice', () => {
    expect(markup(html)).not.toMatch(/https?:|\/\/[a-z]/i);
    expect(markup(html)).not.toMatch(/<(link|img|iframe|object|embed|base)\b/i);
    expect(inside(html, 'style').join('')).not.toMatch(/url\(|@import/);
    expect(inside(html, 'script')[1]).not.toMatch(/https?:|fetch|XMLHttpRequest|import\(/);
    expect(inside(html, 'script')[0]).not.toContain('sourceMappingURL');
  });

  it('has no inline handler and no style attribute, which the policy would block', () => {
    expect(markup(html)).not.toMatch(/\son[a-z]+=/i);
    expect(markup(html)).not.toMatch(/\sstyle=/i);
  });

  it('links only to places that are in the file', () => {
    const ids = new Set([...html.matchAll(/ id="([^"]+)"/g)].map((match) => match[1]));
    const targets = [...markup(html).matchAll(/href="#([^"]+)"/g)].map((match) => match[1]);
    expect(targets.length).toBeGreaterThan(48);
    expect(targets.filter((target) => !ids.has(target))).toEqual([]);
  });
});

describe('foreign text', () => {
  const hostile = `"><img src=x onerror=alert(1)></script><script>alert(2)</script><!--'&\u2028\u202e`;
  const law: LawData = {
    ...programmeFader,
    id: hostile,
    title: hostile,
    marks: programmeFader.marks.map((mark) => ({ ...mark, text: hostile })),
  };
  const dressed = (run: RunRecord): RunRecord => ({
    ...run,
    runId: hostile,
    batch: hostile,
    serial: `${hostile}${run.serial}`,
    operator: hostile,
    startedAt: hostile,
    endedAt: hostile,
    outcomeReason: hostile,
    verdictReason: hostile,
    lawId: hostile,
    calibrationId: hostile,
    programVersion: hostile,
    rig: { model: hostile, serial: hostile, firmware: hostile, protocol: 1, isVirtual: false },
    points: run.points.map((point) => ({ ...point, reason: hostile })),
    checks: run.checks.map((check) => ({ ...check, reason: hostile })),
  });
  const runs = [oneRun, ...batch].map(dressed);
  const again = runs.map((run) => ({ ...run, runId: `${run.runId}2`, verdict: 'fail' as const }));
  const html = render([...runs, ...again, { ...oneRun, lawId: `other${hostile}` }], {
    law,
    title: hostile,
    batch: hostile,
    programVersion: hostile,
    madeAt: hostile,
    notes: [hostile],
    calibration: { ...sampleCalibration, id: hostile, madeAt: hostile, dueAt: hostile, madeBy: hostile },
  });

  it('never becomes markup', () => {
    expect(html.match(/<script/g)).toHaveLength(3);
    expect(html.match(/<\/script>/g)).toHaveLength(3);
    expect(html).not.toContain('<img');
    expect(html).not.toContain('<!--');
    expect(markup(html)).toContain('&lt;img src=x onerror=alert(1)&gt;');
  });

  it('never closes an attribute', () => {
    // Every tag of the markup must consist of known attributes only.
    const known =
      /^(?:\s(?:lang|charset|http-equiv|content|name|class|id|for|role|scope|href|title|tabindex|colspan|datetime|type|width|height|viewBox|d|x|y|r|cx|cy|fill|stroke|stroke-width|stroke-dasharray|aria-[a-z]+|data-word)="[^"<>]*")*\s?\/?$/;
    const tags = [...markup(html).matchAll(/<[a-z][a-z0-9]*((?:\s[^>]*)?)>/g)].map((match) => match[1] ?? '');
    expect(tags.length).toBeGreaterThan(1000);
    expect(tags.filter((attributes) => !known.test(attributes))).toEqual([]);
  });

  it('cannot end the data, and the data reads back as it was', () => {
    expect(embedded(html).curves.map(({ serial }) => serial)).toContain(runs[0]?.serial);
    expect(html).not.toContain('\u2028');
  });

  it('cannot turn the reading direction of a serial number', () => {
    expect(markup(html)).not.toMatch(/[\u202a-\u202e\u2066-\u2069]/);
  });
});

describe('numbers', () => {
  const html = render(batch);
  const data = embedded(html);

  it('draws exactly the recorded deviations, and leaves gaps as gaps', () => {
    expect(data.curves).toHaveLength(batch.length);
    for (const [index, run] of batch.entries()) {
      expect(data.curves[index]?.serial).toBe(run.serial);
      expect(data.curves[index]?.deviationDb).toEqual(run.points.map((point) => point.deviationDb));
      expect(data.curves[index]?.zones).toBe(run.points.map((point) => point.zone[0]).join(''));
    }
    expect(data.curves.flatMap((curve) => curve.deviationDb)).toContain(null);
  });

  it('keeps a gap where a point is missing from the record altogether', () => {
    const run = { ...oneRun, points: oneRun.points.filter((point) => point.pointIndex !== 4) };
    const [curve] = embedded(render([run])).curves;
    expect(curve?.deviationDb).toHaveLength(21);
    expect(curve?.deviationDb[4]).toBeNull();
    expect(curve?.zones[4]).toBe('-');
  });

  it('shows the worst point, its limit and U of the record in the table of faders', () => {
    const row = /<tbody>\n(<tr>.*?<\/tr>)/s.exec(html.slice(html.indexOf('class="faders"')))?.[1] ?? '';
    const fail = batch.find((run) => run.verdict === 'fail');
    const worst = fail?.points.find((point) => point.pointIndex === fail.worstPointIndex);
    expect(row).toContain(fail?.serial);
    expect(row).toContain(`+${worst?.deviationDb?.toFixed(2)}`);
    expect(row).toContain(`limit +${worst?.upperDb?.toFixed(2)}`);
    expect(row).toContain(worst?.uncertaintyDb?.toFixed(2));
  });

  it('prints up, down and mean of every point, and a dash for what was not measured', () => {
    const run = sampleRun(
      'PF104-26-48-00031',
      level(0.2).map((deviation, index) => (index === 3 ? null : deviation)),
    );
    const detail = render([run]).split('<details id="fader-1">')[1] ?? '';
    for (const point of run.points) {
      const row = detail.split(`<th scope="row">${point.travelMm.toFixed(1)}`)[1]?.split('<tr')[0] ?? '';
      const cells = row.split('<td>').slice(4, 8);
      const expected = [point.upDeviationDb, point.downDeviationDb, point.deviationDb].map((value) =>
        value === null ? '–' : `+${value.toFixed(2)}`,
      );
      expect(cells).toEqual([...expected, point.uncertaintyDb === null ? '–' : point.uncertaintyDb.toFixed(2)]);
    }
  });

  it('counts every fader once, under its own word', () => {
    for (const word of verdictOrder) {
      const n = batch.filter((run) => run.verdict === word).length;
      expect(html).toMatch(new RegExp(`count is-${word}[^>]*>.*?<span class="count-number">${n}</span>`));
    }
  });

  it('counts points that fail or are worst as the records do', () => {
    data.points.forEach((point, index) => {
      expect(point.fail).toBe(batch.filter((run) => run.points[index]?.zone === 'fail').length);
      expect(point.worst).toBe(batch.filter((run) => run.worstPointIndex === index).length);
    });
  });
});

describe('outliers', () => {
  const wild = sampleRun(
    'PF104-26-48-00099',
    level(0.1).map((deviation, index) => (index > 17 ? 40 : deviation)),
  );
  it('do not stretch the picture but are counted', () => {
    const [calm, withWild] = [embedded(render([oneRun])), embedded(render([oneRun, wild]))];
    expect(withWild.deviationRangeDb).toBe(calm.deviationRangeDb);
    expect(calm.deviationOutside).toBe(0);
    expect(withWild.deviationOutside).toBe(3);
    expect(render([oneRun, wild])).toContain('3 readings lie outside this picture');
  });

  it('of resistance stay at the edge and are counted', () => {
    const open = sampleRun('PF104-26-48-00098', level(0.1), {}, programmeFader, 250_000);
    const { resistance } = embedded(render([oneRun, open]));
    expect(resistance.outside).toBe(1);
    expect(resistance.dots[1]?.ohm).toBe(250_000);
    expect(resistance.toOhm).toBeLessThan(20_000);
  });
});

describe('what must not be overlooked', () => {
  it('marks a virtual rig, whether the caller or a run says so', () => {
    const virtualRun = { ...oneRun, rig: oneRun.rig === null ? null : { ...oneRun.rig, isVirtual: true } };
    for (const html of [render([oneRun], { isVirtual: true }), render([virtualRun])]) {
      expect(html).toContain('class="stamp"');
      expect(html).toContain('Measured on a virtual rig');
    }
    expect(render([oneRun])).not.toContain('class="stamp"');
  });

  it('says when a run ended after the calibration was due', () => {
    const late = { ...sampleCalibration, dueAt: '2026-11-24T00:00:00Z' };
    expect(render([oneRun], { calibration: late })).toContain('1 run ended after the calibration was due');
    expect(render([oneRun])).not.toContain('after the calibration was due');
  });

  it('says when no calibration is known', () => {
    expect(render([oneRun], { calibration: null })).toContain('No calibration is known');
  });

  it('does not mix in runs against another revision, but names them', () => {
    const html = render([oneRun, { ...oneRun, runId: 'old', serial: 'PF104-26-48-00018', lawRevision: 2 }]);
    expect(html).toContain('1 run of this batch followed another law (PF-104 revision 2)');
    expect(embedded(html).curves.map(({ serial }) => serial)).toEqual(['PF104-26-48-00017']);
  });

  it('counts a fader measured twice once and keeps the first run in sight', () => {
    const first = sampleRun('PF104-26-48-00017', level(1.6), { runId: 'first', startedAt: '2026-11-25T08:00:00Z' });
    const html = render([oneRun, first]);
    expect(html).toContain('1 fader was measured more than once');
    expect(html).toContain('failed before');
    expect(html).toContain('Other runs of this fader');
  });
});

describe('sizes and kinds', () => {
  it('teaches when nothing has been measured, and carries no scripts then', () => {
    const html = render([], { calibration: null });
    expect(html).toContain('Measure the first fader');
    expect(html).toContain('No fader has been measured yet');
    expect(html).not.toContain('<script');
  });

  it('reports a run that reached no point at all', () => {
    const broken = sampleRun('PF104-26-48-00040', [], {
      outcome: 'void',
      outcomeReason: 'the line was lost',
      verdict: 'void',
      verdictReason: 'the line was lost at 42 mm',
      rig: null,
      checks: [],
    });
    const html = render([broken]);
    expect(html).toContain('the line was lost at 42 mm');
    expect(html).toContain('No law point was reached');
    expect(embedded(html).curves[0]?.deviationDb.every((value) => value === null)).toBe(true);
  });

  it('holds 500 faders in a file that mail still carries', () => {
    const html = render(sampleBatch({ size: 500, seed: 11, faultShare: 0.08, voidShare: 0.02 }));
    expect(html.match(/<details id="fader-/g)).toHaveLength(500);
    expect(Buffer.byteLength(html)).toBeLessThan(5_000_000);
  });

  it('draws a stepped law as steps and its open side as open', () => {
    const data = embedded(render(sampleBatch({ size: 3, seed: 5, law: steppedFader }), { law: steppedFader }));
    expect(data.stepped).toBe(true);
    const near = (travelMm: number) => data.band.find((sample) => Math.abs(sample.travelMm - travelMm) < 0.1);
    expect(near(30.5)?.lossDb).toBe(near(29.5)?.lossDb);
    expect(near(2)?.upperDb).toBeNull();
    expect(near(30)?.upperDb).toBe(0.3);
  });
});
