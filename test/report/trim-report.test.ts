import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import type { TrimmedPiece, TrimReportInput } from '../../src/report/trim-input.ts';
import { renderTrimReport } from '../../src/report/trim-report.ts';
import type { Cut } from '../../src/trim/trim.ts';
import { programmeFader } from './sample-laws.ts';
import { sampleRun } from './sample-runs.ts';

const level = (share: number): number[] => programmeFader.points.map((point) => share * point.minusDb);
const serial = 'PF104-26-48-00017';
const before = sampleRun(serial, level(1.6));
const after = sampleRun(serial, level(0.2));

const shave: Cut = {
  ...{ kind: 'shave', number: 1, cellIndex: 4, side: 'left' },
  ...{ fromMm: 19, toMm: 21, depthMm: 0.3 },
};
const plunge: Cut = { kind: 'plunge', number: 2, cellIndex: 4, side: 'left', atMm: 20, depthMm: 0.16 };

const piece: TrimmedPiece = {
  serial,
  state: 'accepted',
  firstSort: 'trimmable',
  sentence: 'Brought in after 1 pass. Take it out.',
  passes: [{ pass: 1, toolId: 'M1', cuts: [shave, plunge], gain: 0.87 }],
  rules: {
    ...{ widthMm: 4, swathMm: 1.5, endMarginMm: 1, closedEdgeMm: 0.8, openEdgeMm: 102.9 },
    ...{ depthStepMm: 0.02, placeSdMm: 0.2, mostGrowth: 0.5 },
  },
  before,
  after,
  worstBeforeShare: 1.6,
  worstAfterShare: 0.2,
  removalMm2: 0.6,
  tookMs: 40_000,
};

const render = (pieces: readonly TrimmedPiece[], more: Partial<TrimReportInput> = {}): string =>
  renderTrimReport({
    ...{ title: 'Trimming batch S1', batch: 'S1', law: programmeFader, pieces },
    ...{ gain: { mean: 0.87, sd: 0.02 }, firstPassShare: 1, medianTookMs: 40_000 },
    ...{ programVersion: '0.1.0', madeAt: '2026-11-25T09:30:00Z' },
    ...more,
  });

describe('the trimming report', () => {
  it('stands alone: no script, nothing fetched, its style allowed by its hash', () => {
    const html = render([piece]);
    expect(html).not.toMatch(/<script|(src|href)="(?!#)/);
    const style = /<style>(.*?)<\/style>/s.exec(html)?.[1] ?? '';
    const hash = createHash('sha256').update(style, 'utf8').digest('base64');
    expect(html).toContain(`default-src 'none'; style-src 'sha256-${hash}'`);
  });

  it('shows each piece before and after with every cut', () => {
    const html = render([piece]);
    expect(html.match(/class="dot-before"/g)).toHaveLength(programmeFader.points.length);
    expect(html.match(/class="dot-after"/g)).toHaveLength(programmeFader.points.length);
    expect(html.match(/class="notch"/g)).toHaveLength(2);
    expect(html).toContain('<td class="text">shave</td><td>19.0 … 21.0</td><td>0.30</td><td class="text">left</td>');
    expect(html).toContain('<td class="text">plunge</td><td>20.0</td><td>0.16</td><td class="text">left</td>');
    expect(html).toContain('160 %');
    expect(html).toContain('gain 0.87');
  });

  it('draws a cut on top of another from where the first one ended', () => {
    const tops = [...render([piece]).matchAll(/class="notch" x="[\d.]+" y="([\d.]+)".*?height="([\d.]+)"/g)];
    const [first, second] = tops.map(([, top, height]) => ({ top: Number(top), height: Number(height) }));
    expect(second?.top).toBeCloseTo((first?.top ?? 0) + (first?.height ?? 0), 1);
  });

  it('shows a piece that was never cut once, without a table of cuts', () => {
    const html = render([{ ...piece, state: 'hopeless', firstSort: 'hopeless', passes: [], after: before }]);
    expect(html).not.toContain('class="dot-after"');
    expect(html).not.toContain('<table class="cuts">');
    expect(html).toContain('hopeless');
  });

  it('draws nothing across a point that was not measured', () => {
    const gapped = {
      ...after,
      points: after.points.map((point, i) => (i === 5 ? { ...point, deviationDb: null } : point)),
    };
    const html = render([{ ...piece, after: gapped }]);
    expect(html.match(/class="dot-after"/g)).toHaveLength(programmeFader.points.length - 1);
    expect(html.match(/<polyline class="after"/g)).toHaveLength(2);
  });

  it('lets no text from outside become markup, and marks a simulation', () => {
    const foreign = '<img src=x onerror=alert(1)>';
    const html = render([{ ...piece, sentence: foreign }], { title: foreign, batch: foreign });
    expect(html).not.toContain('<img');
    const rig = { model: 'bench-1', serial: 'VR0001', firmware: '1', protocol: 1, isVirtual: true };
    expect(render([{ ...piece, before: { ...before, rig } }])).toContain('no real film was cut');
  });
});
