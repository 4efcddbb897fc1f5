/** Measuring on the virtual rig: one fader, many as a scanner types them, and whatever else comes out of a scanner. */
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { RunSummary } from '../../src/contract/records.ts';
import { awkwardFolder, removeFolder, startWords, words } from './run-words.ts';

const folder = awkwardFolder();
const archive = (name: string): string[] => ['--archive', join(folder, `${name}.sqlite`)];
const measure = [
  ...['measure', '--virtual', '--seed', '3', '--size', '6', '--fault-share', '0', '--time-factor', '300'],
  ...['--operator', 'KD'],
];
afterAll(() => removeFolder(folder));

interface Entry {
  readonly summary?: RunSummary;
  readonly error?: { readonly code: string; readonly message: string };
  readonly serial?: string;
  readonly attempt?: number;
}

const verdictCodes: Readonly<Record<string, number>> = { pass: 0, doubt: 5, fail: 5, void: 6 };

describe('one fader', () => {
  it('gives its verdict in words and as exit code', async () => {
    const { code, out, err } = await words([...archive('one'), ...measure, '--serial', ' pf104-26-48-00001\r']);
    expect(err).toBe('');
    const [, verdict = ''] = /^(PASS|DOUBT|FAIL) {2}PF104-26-48-00001 {2}\[virtual rig\]$/m.exec(out) ?? [];
    expect(code).toBe(verdictCodes[verdict.toLowerCase()]);
    expect(out).toMatch(/^ {2}Next: \S.+\.$/m);
  });

  it('against a law that is not there is refused before anything moves', async () => {
    const wrong = [...measure, '--serial', 'PF104-26-48-00001', '--law', 'XX-9'];
    const { code, out, err } = await words([...archive('one'), ...wrong]);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toMatch(/There is no law XX-9\. Known laws: .*PF-104 revision 1/);
  });
});

describe('serials from a scanner', () => {
  const noise = [
    ']C1PF104-26-48-00002\r', // symbology prefix and carriage return
    '\u0002pf104-26-48-00003\u0003\t', // start and end of text, lower case, tab
    '\u001b[2Jrm -rf', // something that steers a terminal
    'PF104-26-48-00003PF104-26-48-00004', // two labels in one sweep
    'PF104-26-48-99999', // not in this batch
    'Ä'.repeat(5_000),
    'PF104\u201326\u201348\u201300005', // typographic dashes
  ];

  it('are measured one after another; one that cannot be read does not end the session', async () => {
    const typed = `${noise.join('\n')}\n\nPF104-26-48-00006\n`;
    const { code, out, err } = await words([...archive('scanner'), '--json', ...measure], { typed });
    const entries = JSON.parse(out) as Entry[];
    expect(entries.map(({ summary, error }) => summary?.serial ?? error?.code)).toEqual([
      'PF104-26-48-00002',
      'PF104-26-48-00003',
      'serialNumberMalformed',
      'serialNumberMalformed',
      'request.virtualRig',
      'serialNumberMalformed',
      'PF104-26-48-00005',
      // The empty line ended it before the sixth.
    ]);
    const verdicts = entries.flatMap(({ summary }) => (summary === undefined ? [] : [summary.verdict]));
    expect(code).toBe(Math.max(2, ...verdicts.map((verdict) => verdictCodes[verdict] ?? Number.NaN)));
    // In JSON too the person at the scanner is told at once, in words that cannot steer the terminal.
    expect(err).toMatch(/is not a serial number.*Scan the label again/);
    expect([...err].filter((character) => character < ' ' && character !== '\n')).toEqual([]);
    expect(err.length).toBeLessThan(4_000);
  });

  it('that never come leave nothing measured, which is not a success', async () => {
    for (const typed of ['', '   \nPF104-26-48-00001\n']) {
      const { code, out, err } = await words([...archive('none'), ...measure], { typed });
      expect(code).toBe(2);
      expect(err).toMatch(/No serial was given, so nothing was measured/);
      expect(out).not.toMatch(/PASS|FAIL/);
    }
  });

  it('with the input closed altogether end in the same way', async () => {
    const { code, err } = await words([...archive('none'), ...measure]);
    expect(code).toBe(2);
    expect(err).toMatch(/nothing was measured/);
  });

  it('scanned twice count as attempts', async () => {
    const typed = 'PF104-26-48-00001\nPF104-26-48-00001\n';
    const { out } = await words([...archive('attempts'), '--json', ...measure], { typed });
    expect((JSON.parse(out) as Entry[]).map(({ attempt }) => attempt)).toEqual([1, 2]);
  });
});

it('the reader of the output may leave: the fader is recorded all the same', async () => {
  const run = startWords([...archive('head'), ...measure], { typed: null });
  await run.said(/An empty line ends/);
  // What `| head -1` does.
  run.child.stdout?.destroy();
  run.child.stdin?.end('PF104-26-48-00004\n');
  const { code, err } = await run.ended;
  expect(err).not.toMatch(/EPIPE|Error/);
  expect([0, 5]).toContain(code);
  const { out } = await words([...archive('head'), '--json', 'fader', 'PF104-26-48-00004']);
  expect((JSON.parse(out) as RunSummary[]).map(({ outcome }) => outcome)).toEqual(['completed']);
});

it('a port that is none is refused with what to do', async () => {
  const port = (path: string): string[] => [
    'measure',
    '--port',
    path,
    '--operator',
    'KD',
    '--serial',
    'PF104-26-48-00001',
  ];
  for (const [path, says] of [
    ['/dev/faderwright-none', /There is no port .*Plug the rig in/],
    ['/dev/null', /could not be opened as a serial line.*Choose another port/],
  ] as const) {
    const { code, out, err } = await words([...archive('ports'), ...port(path)]);
    expect({ code, out }).toEqual({ code: 3, out: '' });
    expect(err).toMatch(says);
  }
});
