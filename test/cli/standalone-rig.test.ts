/** `npm run rig` in one process, the command line in another: the whole way that its printed hints describe. */
import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { RunSummary } from '../../src/contract/records.ts';
import { awkwardFolder, checkout, type Ended, removeFolder, startWords, words } from './run-words.ts';

const folder = awkwardFolder();
const archivePath = join(folder, 'bench.sqlite');
const certificate = join(folder, 'Zertifikat 1.json');
const on = (...list: readonly string[]): string[] => ['--archive', archivePath, ...list];
let rig: StandaloneRig;
beforeAll(async () => {
  rig = await startRig();
});
afterAll(async () => {
  await rig?.quit();
  removeFolder(folder);
});

const measure = (serial: string): string[] =>
  on('--json', 'measure', '--port', rig.path, '--operator', 'KD', '--serial', serial);
const summaryOf = ({ out }: Ended): RunSummary | undefined =>
  (JSON.parse(out) as { summary: RunSummary }[])[0]?.summary;

describe('a rig without a calibration in the station', () => {
  it('gives void, and says what is missing', async () => {
    const ended = await words(measure(rig.serials[0] ?? ''));
    expect(ended.code).toBe(6);
    expect(summaryOf(ended)).toMatchObject({ verdict: 'void', verdictReason: expect.stringMatching(/no calibration/) });
    expect(await rig.say('status')).toMatch(/carriage still.*motor power off/);
  });

  it('counts as soon as the certificate that it writes is kept', async () => {
    expect(await rig.say(`certificate ${certificate}`)).toBe(`certificate of ${rig.serial} written to ${certificate}`);
    expect(JSON.parse(readFileSync(certificate, 'utf8'))).toMatchObject({ rigSerial: rig.serial });
    const kept = await words(on('rig', 'certificate', certificate));
    expect(kept).toMatchObject({ code: 0, out: expect.stringMatching(`^Kept: .* for rig ${rig.serial}, due `) });
    const ended = await words(measure(rig.serials[0] ?? ''));
    expect(summaryOf(ended)).toMatchObject({ outcome: 'completed', serial: rig.serials[0], isVirtual: true });
    expect([0, 5]).toContain(ended.code);
  });

  it('writes no certificate where none can be, and goes on', async () => {
    expect(await rig.say('certificate /proc/none/c.json')).toMatch(/could not be written .*give another file/);
    expect(await rig.say('status')).toMatch(/plugged in/);
  });
});

describe('the person at the bench', () => {
  it('is asked to close the guard, and the run goes on by itself', async () => {
    await rig.say('guard open');
    const run = startWords(measure(rig.serials[0] ?? ''));
    await run.said(/Waiting: Close the guard\./);
    await rig.say('guard closed');
    const ended = await run.ended;
    expect(summaryOf(ended)?.outcome).toBe('completed');
  });

  it('who opens it in mid-run gets void and a carriage at rest', async () => {
    await rig.say('guard open');
    const run = startWords(measure(rig.serials[0] ?? ''));
    await run.said(/Waiting: Close the guard\./);
    await rig.say('guard closed');
    await rig.until(/carriage moving/);
    await rig.say('guard open');
    const ended = await run.ended;
    expect(ended.code).toBe(6);
    expect(summaryOf(ended)).toMatchObject({
      outcome: 'void',
      verdictReason: expect.stringMatching(/guard was opened/),
    });
    expect(await rig.say('status')).toMatch(/carriage still/);
    await rig.say('guard closed');
  });

  it('who presses Ctrl-C gets a carriage at rest and a stopped run', async () => {
    const run = startWords(measure(rig.serials[0] ?? ''));
    await rig.until(/carriage moving/);
    run.child.kill('SIGINT');
    const ended = await run.ended;
    expect(ended.code).toBe(130);
    expect(summaryOf(ended)).toMatchObject({ outcome: 'stopped', verdict: 'void' });
    expect(await rig.say('status')).toMatch(/carriage still/);
  });

  it('who pulls the cable gets void; plugged in again, the next serial is measured in the same session', async () => {
    const session = on('measure', '--port', rig.path, '--operator', 'KD');
    const run = startWords(session, { typed: null });
    await run.said(/An empty line ends/);
    run.child.stdin?.write(`${rig.serials[0]}\n`);
    await rig.until(/carriage moving/);
    await rig.say('unplug');
    await run.said(/VOID {2}PF104-\S+[^\n]*\n[^\n]*[Ll]ine/);
    // The station knows at once; the rig itself stops when it has heard nothing for long enough.
    await rig.until(/carriage still.*unplugged/);
    run.child.stdin?.write(`${rig.serials[1]}\n`);
    await run.said(/Waiting for the rig/);
    await rig.say('load 2');
    await rig.say('plug');
    await run.said(new RegExp(`(PASS|DOUBT|FAIL) {2}${rig.serials[1]}`));
    run.child.stdin?.end('\n');
    expect((await run.ended).code).toBe(6);
  });
});

it('a port in use is refused by the name of who holds it', async () => {
  const first = startWords(on('measure', '--port', rig.path, '--operator', 'KD'), { typed: null });
  await first.said(/An empty line ends/);
  const other = ['--archive', join(folder, 'other.sqlite'), 'measure', '--port', rig.path, '--operator', 'KD'];
  const second = await words([...other, '--serial', rig.serials[0] ?? '']);
  expect({ code: second.code, out: second.out }).toEqual({ code: 3, out: '' });
  expect(second.err).toMatch(/The port .* is in use by .*Close that program/);
  expect(second.err).toMatch(/\(portBusy\)/);
  first.child.stdin?.end();
  await first.ended;
});

interface StandaloneRig {
  readonly path: string;
  readonly serial: string;
  readonly serials: readonly string[];
  /** Types a line and gives the answer. */
  say(line: string): Promise<string>;
  /** Asks for the status until it matches. */
  until(pattern: RegExp): Promise<void>;
  quit(): Promise<void>;
}

async function startRig(): Promise<StandaloneRig> {
  const main = join(checkout, 'firmware-protocol', 'virtual-rig', 'main.ts');
  // Slow enough for a hand to come in between, fast enough not to wait for.
  const child = spawn(process.execPath, [main, '--seed', '11', '--size', '3', '--time-factor', '12'], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  const answers = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  const next = async (): Promise<string> => {
    const { value, done } = await answers.next();
    if (done === true) throw new Error('the rig has ended');
    return value;
  };
  const [, serial = '', path = ''] = /^Virtual rig (\S+) on (\S+) with 3 faders/.exec(await next()) ?? [];
  expect(await next()).toMatch(
    new RegExp(`^Fader PF104-26-48-00001 is in it. Measure with --port ${path}; .*"certificate FILE"`),
  );
  const say = async (line: string): Promise<string> => {
    child.stdin.write(`${line}\n`);
    return next();
  };
  return {
    path,
    serial,
    serials: [1, 2, 3].map((number) => `PF104-26-48-0000${number}`),
    say,
    async until(pattern) {
      // Looked at as often as the rig answers: it says when, not the clock.
      while (!pattern.test(await say('status'))) await new Promise((resolve) => setTimeout(resolve, 5));
    },
    async quit() {
      const closed = new Promise((resolve) => child.once('close', resolve));
      child.stdin.end('quit\n');
      await closed;
    },
  };
}
