/** Trimming from the command line: a virtual batch, how it stands, its report, the demo, and what is refused. */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { TrimBatch, TrimPiece } from '../../src/contract/trim.ts';
import { awkwardFolder, removeFolder, words } from './run-words.ts';

const folder = awkwardFolder();
const archive = (name: string): string[] => ['--archive', join(folder, `${name}.sqlite`)];
const virtual = ['trim', '--virtual', '--seed', '11', '--size', '4', '--time-factor', '300', '--operator', 'KD'];
afterAll(() => removeFolder(folder));

describe('a batch of raw virtual tracks', () => {
  it('is trimmed, shown and reported', async () => {
    const { code, out } = await words([...archive('batch'), '--json', ...virtual, '--batch', 'S1', '--tool', 'M1']);
    const pieces = JSON.parse(out) as TrimPiece[];
    expect(pieces).toHaveLength(4);
    expect(code).toBe(pieces.every(({ state }) => state === 'accepted') ? 0 : 5);
    expect(pieces.some(({ passes }) => passes.length > 0)).toBe(true);

    const report = join(folder, 'trim report.html');
    const shown = await words([...archive('batch'), '--json', 'trim-batch', 'S1', '--report', report]);
    expect(shown.code).toBe(0);
    const table = await words([...archive('batch'), 'trim-batch', 'S1']);
    expect(table.out).toMatch(/accepted, .*hopeless\. +\[virtual rig\]$/m);
    const batch = JSON.parse(shown.out) as TrimBatch;
    expect(batch.pieces.map(({ serial, state }) => [serial, state])).toEqual(
      pieces.map(({ serial, state }) => [serial, state]),
    );
    const html = readFileSync(report, 'utf8');
    for (const { serial, passes } of pieces) {
      expect(html).toContain(serial);
      for (const { number, depthMm } of passes.flatMap(({ plan }) => plan.cuts)) {
        expect(html).toMatch(new RegExp(`<td>${number}</td><td class="text">(shave|plunge)</td>`));
        expect(html).toContain(`<td>${depthMm.toFixed(2)}</td>`);
      }
    }
  });

  it('says in words what is cut and how it came out', async () => {
    const { out, err } = await words([...archive('words'), ...virtual, '--serial', 'PF104-26-47-00001']);
    expect(err).toBe('');
    expect(out).toMatch(/^PF104-26-47-00001 {2}pass 1: \d+ cuts?$/m);
    expect(out).toMatch(/^ +\d+ {2}(shave|plunge) .* mm deep {2}(left|right)$/m);
    expect(out).toMatch(/^(ACCEPTED|ENDED|HOPELESS) {2}PF104-26-47-00001$/m);
  });

  it('is raw again when another virtual rig brings the same serials', async () => {
    const one = [...archive('again'), '--json', ...virtual, '--serial', 'PF104-26-47-00001'];
    const [first] = JSON.parse((await words(one)).out) as TrimPiece[];
    const [second] = JSON.parse((await words(one)).out) as TrimPiece[];
    expect(second?.passes).toHaveLength(first?.passes.length ?? -1);
    expect(second?.runs).not.toEqual(first?.runs);
  });
});

describe('the demo', () => {
  it('trims a batch too and reports it', async () => {
    const out = join(folder, 'demo');
    const demo = ['demo', '--size', '2', '--trim', '2', '--time-factor', '300', '--out', out];
    const { code, out: text } = await words(['--json', ...demo]);
    expect(code).toBe(0);
    const told = JSON.parse(text) as { trimReport: string; trimming: TrimBatch };
    expect(told.trimming.pieces).toHaveLength(2);
    expect(existsSync(told.trimReport)).toBe(true);
    expect(existsSync(join(out, 'report.html'))).toBe(true);
  });
});

describe('is refused in words', () => {
  it.each([
    [['trim', '--operator', 'KD'], /Say where the rig is/],
    [['trim', '--virtual'], /--operator/],
    [['trim', '--virtual', '--operator', 'KD', '--tool-kind', 'axe'], /mill, abrasive, hand/],
    [['trim', '--virtual', '--operator', 'KD', '--serial', 'rubbish'], /not a serial number/],
    [['trim', '--virtual', '--operator', 'KD', '--law', 'QS-54'], /cannot be trimmed here/],
  ])('%j', async (given, message) => {
    const { code, err } = await words([...archive('refused'), ...given]);
    expect(code).toBe(2);
    expect(err).toMatch(message);
  });

  it('a batch that was never trimmed', async () => {
    const { code, err } = await words([...archive('batch'), 'trim-batch', 'nothing']);
    expect(code).toBe(2);
    expect(err).toContain('No piece of batch nothing was ever trimmed.');
  });
});
