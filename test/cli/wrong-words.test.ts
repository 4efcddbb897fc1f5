/** Words that are not right: refused before anything is started, with what would be right. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { awkwardFolder, removeFolder, words } from './run-words.ts';

const folder = awkwardFolder();
const archive = ['--archive', join(folder, 'bench.sqlite')];
afterAll(() => removeFolder(folder));

const measure = ['measure', '--virtual', '--operator', 'KD'];

describe.concurrent('words that are not right', () => {
  it.each<[string, readonly string[], RegExp]>([
    ['no word', [], /Usage: faderwright/],
    ['an unknown word', ['measrue'], /unknown command 'measrue'.*Did you mean measure/s],
    ['an unknown second word', ['law', 'eat'], /unknown command 'eat'/],
    ['an unknown option', ['demo', '--sise', '3'], /unknown option '--sise'.*--size/s],
    ['too many words', ['fader', 'PF104-26-48-00001', 'PF104-26-48-00002'], /too many arguments/],
    ['a missing word', ['fader'], /missing required argument 'serial'/],
    ['no operator', ['measure', '--virtual'], /required option '--operator/],
    ['empty initials', ['measure', '--virtual', '--operator', ' '], /one to eight letters/],
    ['initials that steer a terminal', ['measure', '--virtual', '--operator', '\u001b[2J'], /one to eight letters/],
    ['initials that the window would not take', ['measure', '--virtual', '--operator', 'K-D.'], /letters or digits/],
    ['an unknown job', [...measure, '--job', 'polish'], /Allowed choices are measure, trim/],
    ['an empty batch', [...measure, '--batch', ''], /name of 1 to 100/],
    ['a batch of nothing', ['demo', '--size', '0'], /from 1 to 100000/],
    ['a batch that is no number', ['demo', '--size', '1e3'], /from 1 to 100000/],
    ['a batch beyond reason', ['demo', '--size', '100001'], /from 1 to 100000/],
    ['a negative seed', ['demo', '--seed', '-1'], /whole number/],
    ['a standing clock', ['demo', '--time-factor', '0'], /above 0 and up to 1000/],
    ['a racing clock', ['demo', '--time-factor', '1001'], /above 0 and up to 1000/],
    ['infinity', ['demo', '--time-factor', 'Infinity'], /above 0 and up to 1000/],
    ['a share above 1', ['demo', '--fault-share', '1.2'], /share from 0 to 1/],
    ['a decimal comma', ['demo', '--fault-share', '0,2'], /share from 0 to 1/],
    ['an unknown table', ['export', '--what', 'verdicts', 'x.csv'], /Allowed choices are runs, points/],
    ['an unknown verdict', ['export', '--verdict', 'good', 'x.csv'], /Allowed choices are pass/],
    ['a day that is none', ['export', '--from', '2026-02-30', 'x.csv'], /date as 2026-11-25/],
    ['a date in words', ['export', '--to', 'yesterday', 'x.csv'], /date as 2026-11-25/],
  ])('%s', async (_name, given, says) => {
    const { code, out, err } = await words([...archive, ...given]);
    expect(err).toMatch(says);
    expect(err).not.toMatch(/^\s+at .*\.ts/m);
    expect(out).toBe('');
    expect(code).toBe(2);
  });

  it.each([
    ['unknown word', ['eat']],
    ['missing word', []],
    ['wrong number', ['demo', '--size', 'many']],
  ])('in JSON are an error in JSON: %s', async (_name, given) => {
    const { code, out, err } = await words(['--json', ...given]);
    expect(JSON.parse(out)).toMatchObject({ error: { code: 'usage', userFixable: true } });
    expect(err).toBe('');
    expect(code).toBe(2);
  });

  it('help and version are results, not errors', async () => {
    const help = await words(['--help']);
    expect(help).toMatchObject({ code: 0, err: '' });
    for (const code of [0, 1, 2, 3, 4, 5, 6, 130]) expect(help.out).toMatch(new RegExp(`^ +${code}  \\w`, 'm'));
    expect(await words(['measure', '--help'])).toMatchObject({ code: 0, err: '' });
    expect(await words(['--version'])).toMatchObject({ code: 0, out: expect.stringMatching(/^\d+\.\d+\.\d+\n$/) });
  });
});

describe.concurrent('files that are not right', () => {
  const at = (name: string, content: string | Buffer): string => {
    const path = join(folder, name);
    writeFileSync(path, content);
    return path;
  };
  const below = join(at('plain.txt', 'x'), 'x');
  mkdirSync(join(folder, 'a folder'));
  const certificate = {
    id: 'c1',
    rigSerial: 'R1',
    madeAt: '2026-11-01T08:00:00Z',
    dueAt: '2027-11-01T08:00:00Z',
    source: 'certificate',
    madeBy: 'Lab',
    position: {
      ...{ scale: 1, zeroMm: 0, backlashMm: 0.04, uZeroMm: 0.005, uBacklashMm: 0.004 },
      ...{ uScale: 3e-6, screwAmplitudeMm: 0.01, uHomeMm: 0.01 },
    },
    meter: {
      ...{ offsetCounts: 0, trackOffsetCounts: 0, gain: 1, uOffsetCounts: 2, uGain: 2e-5 },
      ...{ nonLinearity: 5e-6, seriesReferenceOhm: 10_000, uSeriesReference: 1e-4 },
    },
  };
  const json = (value: unknown): string => JSON.stringify(value);

  it.each<[string, readonly string[], RegExp]>([
    [
      'a law file that is not there',
      ['law', 'check', join(folder, 'none.csv')],
      /there is no such file.*Check the name/,
    ],
    ['a folder', ['law', 'check', join(folder, 'a folder')], /it is a folder/],
    ['a path through a file', ['law', 'check', below], /a part of its path is a file/],
    ['a device', ['law', 'check', '/dev/zero'], /not a plain file/],
    ['an empty law file', ['law', 'check', at('empty.csv', '')], /is empty/],
    ['a picture', ['law', 'check', at('p.json', Buffer.from('89504e470d0a1a0a0000000d', 'hex'))], /refused/],
    ['an endless law file', ['law', 'check', at('big.csv', 'travelMm,lossDb\n'.repeat(70_000))], /at most 1000000/],
    ['a law file of another kind', ['law', 'check', at('law.txt', 'hello')], /law/],
    ['points without a law', ['law', 'add', at('points.csv', 'no such columns\n1\n')], /line 1/i],
    ['a certificate that is not there', ['rig', 'certificate', join(folder, 'c.json')], /there is no such file/],
    [
      'no JSON',
      ['rig', 'certificate', at('c1.json', 'scale=1')],
      /c1\.json is not JSON text, so it is no calibration certificate\..*docs\/calibration\.md/,
    ],
    ['an empty certificate', ['rig', 'certificate', at('c2.json', '{}')], /id is missing.*meter is missing/],
    ['an unknown key', ['rig', 'certificate', at('c3.json', json({ ...certificate, note: 'x' }))], /"note"/],
    [
      'an impossible gain',
      ['rig', 'certificate', at('c4.json', json({ ...certificate, meter: { ...certificate.meter, gain: 0 } }))],
      /meter\.gain: .*0\.5/,
    ],
    [
      'a negative uncertainty',
      ['rig', 'certificate', at('c5.json', json({ ...certificate, meter: { ...certificate.meter, uGain: -1 } }))],
      /meter\.uGain/,
    ],
    [
      'a number that JSON cannot hold',
      ['rig', 'certificate', at('c6.json', json(certificate).replace('"gain":1', '"gain":1e999'))],
      /meter\.gain/,
    ],
    [
      'a certificate due before it was made',
      ['rig', 'certificate', at('c7.json', json({ ...certificate, dueAt: '2026-10-01T08:00:00Z' }))],
      /dueAt: must be later than madeAt/,
    ],
    ['bytes that are no text', ['rig', 'certificate', at('c8.json', Buffer.from([0xff, 0xfe, 0x7b]))], /is not JSON/],
    ['a place below a file', ['demo', '--out', below], /Cannot make the folder.*Give another/],
    ['a port and a virtual rig', [...measure, '--port', '/dev/x'], /either --port PATH .* or --virtual/],
    ['neither', ['measure', '--operator', 'KD'], /either --port PATH .* or --virtual/],
  ])('%s', async (_name, given, says) => {
    const own = join(folder, `${given.join(' ').replace(/\W+/g, '-').slice(-60)}.sqlite`);
    const { code, out, err } = await words(['--archive', own, ...given]);
    expect(err).toMatch(says);
    expect(err).not.toMatch(/^\s+at .*\.ts|ENO|EIS/m);
    expect(out).toBe('');
    expect(code).toBe(2);
  });
});
