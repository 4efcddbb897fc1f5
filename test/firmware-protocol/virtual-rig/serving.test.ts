import { spawn } from 'node:child_process';
import { mkdtemp, readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ReadlineParser } from '@serialport/parser-readline';
import { SerialPort } from 'serialport';
import { afterEach, describe, expect, test } from 'vitest';
import { decodeReading, formatLine, parseLine, type WireLine } from '../../../firmware-protocol/codec/index.ts';
import { type RigProcess, startRigProcess } from '../../../firmware-protocol/virtual-rig/serve.ts';
import { testLaw } from './laws.ts';

const main = fileURLToPath(new URL('../../../firmware-protocol/virtual-rig/main.ts', import.meta.url));
const cleanUps: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

async function serve(change: Partial<Parameters<typeof startRigProcess>[0]> = {}): Promise<RigProcess> {
  const rig = await startRigProcess({ law: testLaw, seed: 4, size: 3, timeFactor: 20, ...change });
  cleanUps.push(() => rig.stop());
  return rig;
}

class OpenPort {
  readonly port: SerialPort;
  private readonly waiting = new Map<number, (line: WireLine) => void>();

  constructor(path: string) {
    this.port = new SerialPort({ path, baudRate: 115_200, autoOpen: false });
    this.port.pipe(new ReadlineParser({ delimiter: '\n', encoding: 'latin1' })).on('data', (text: string) => {
      const parsed = parseLine(text);
      if (!parsed.ok || (parsed.line.kind !== 'answer' && parsed.line.kind !== 'refusal')) return;
      this.waiting.get(parsed.line.number)?.(parsed.line);
    });
  }

  async open(): Promise<this> {
    await new Promise<void>((resolve, reject) => this.port.open((error) => (error ? reject(error) : resolve())));
    cleanUps.push(() => this.close());
    return this;
  }

  close(): Promise<void> {
    return new Promise((resolve) => (this.port.isOpen ? this.port.close(() => resolve()) : resolve()));
  }

  order(number: number, word: string, fields: Record<string, number> = {}): Promise<WireLine> {
    return new Promise((resolve) => {
      this.waiting.set(number, resolve);
      this.port.write(formatLine({ kind: 'order', number, word, fields }), 'latin1');
    });
  }
}

/** Keeps the watchdog fed while orders run. */
function beat(port: OpenPort): void {
  const timer = setInterval(() => port.port.write(formatLine({ kind: 'express', number: 1, word: 'beat' })), 20);
  cleanUps.push(async () => clearInterval(timer));
}

describe('a virtual rig on a serial port', () => {
  test('is opened like any port, measures, and shows its side door to the process that started it', async () => {
    const rig = await serve();
    const port = await new OpenPort(rig.path).open();
    expect((await port.order(7, 'hello', { v: 1 })).fields).toMatchObject({ sim: 1 });
    beat(port);
    await port.order(8, 'power', { on: 1 });
    expect((await port.order(9, 'home')).fields).toMatchObject({ m: 2, x: 0 });
    const visit = { x: 60_000, v: 200_000, a: 2000, j: 0, up: 1, w: 300_000, t: 20_000, n: 4 };
    const reading = decodeReading((await port.order(10, 'visit', visit)).fields);
    expect(reading.positionUm).toBe(60_000);
    expect(reading.trackMean / 8_388_608).toBeGreaterThan(0.99);

    expect(await rig.sideDoor.moment()).toMatchObject({ positionUm: 60_000, moving: false, pluggedIn: true });
    expect(await rig.sideDoor.serials()).toHaveLength(3);
    expect(await rig.sideDoor.load(2)).toEqual({ index: 2, serial: 'PF104-26-48-00003' });
    expect((await rig.sideDoor.truth(2, [54])).points[0]?.meanDb).toBeGreaterThan(15);
    await expect(rig.sideDoor.load(3)).rejects.toMatchObject({ code: 'faderUnknown', userFixable: true });
    expect((await rig.sideDoor.executions()).map((e) => e.word)).toEqual(['power', 'home', 'visit']);
  });

  test('does not answer its own words: the line is raw before anyone opens it', async () => {
    const rig = await serve();
    const port = await new OpenPort(rig.path).open();
    await port.order(7, 'hello', { v: 1 });
    // An echoing line would have brought `awake` back to the rig and the hello twice to us.
    expect(await rig.sideDoor.executions()).toEqual([]);
    expect((await port.order(8, 'limits', { page: 0 })).fields).toMatchObject({ st: 80 });
  });

  test('closed and opened again by the station keeps its session', async () => {
    const rig = await serve();
    const first = await new OpenPort(rig.path).open();
    await first.order(7, 'hello', { v: 1 });
    await first.close();
    const second = await new OpenPort(rig.path).open();
    expect((await second.order(8, 'power', { on: 1 })).fields).toMatchObject({ m: 1 });
  });

  test('pulled, the port closes; plugged in again, the same path opens', async () => {
    const rig = await serve();
    const port = await new OpenPort(rig.path).open();
    await port.order(7, 'hello', { v: 1 });
    const closed = new Promise<void>((resolve) => port.port.once('close', () => resolve()));
    // A port that is only listened at may miss the hang-up; one that is written to, as by a station's beat, does not.
    port.port.on('error', () => port.close());
    beat(port);
    await rig.sideDoor.unplug();
    await closed;
    await expect(new OpenPort(rig.path).open()).rejects.toThrow();
    await rig.sideDoor.plug();
    const again = await new OpenPort(rig.path).open();
    expect((await again.order(99, 'hello', { v: 1 })).kind).toBe('answer');
  });

  test('ends with the process that started it, and takes its path along', async () => {
    const rig = await serve();
    await rig.stop();
    expect(rig.process.exitCode).toBe(0);
    await expect(new OpenPort(rig.path).open()).rejects.toThrow();
  });

  test('that cannot start says why', async () => {
    await expect(startRigProcess({ law: { ...testLaw, points: [] } })).rejects.toThrow(/at least two points/);
  });
});

interface Ended {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

function run(args: readonly string[], typed = ''): Promise<Ended> {
  const child = spawn(process.execPath, [main, ...args], { stdio: 'pipe' });
  let out = '';
  let err = '';
  let asked = typed;
  child.stdout.on('data', (bytes) => {
    out += String(bytes);
    if (asked !== '' && out.includes('Measure with')) {
      child.stdin.end(asked);
      asked = '';
    }
  });
  child.stderr.on('data', (bytes) => {
    err += String(bytes);
  });
  return new Promise((resolve) => child.on('close', (code) => resolve({ code, out, err })));
}

describe('the rig command', () => {
  test('prints its port and what to do, and does what a person types', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'rig-test-'));
    const certificate = join(folder, 'cert.json');
    const typed =
      'status\nload 3\nguard open\nclamp open\nstop pressed\nunplug\nplug\nload 77\nload\nnonsense\nhelp\nstatus\nquit\n';
    const { code, out, err } = await run(['--size', '5', '--seed', '3', '--certificate', certificate], typed);
    expect(err).toBe('');
    expect(code).toBe(0);
    expect(out).toMatch(/Virtual rig VR\d{4} on \S+ with 5 faders PF104, seed 3\./);
    expect(out).toContain('fader 3 is in: PF104-26-48-00003');
    expect(out).toContain('There is no fader 77; this batch has 1 to 5.');
    expect(out).toContain('a number is missing: "load 1" to "load 5"');
    expect(out).toContain('"nonsense" is not understood');
    expect(out).toMatch(/fader 3 of 5.*guard open, clamp open, emergency stop pressed; plugged in/);
    expect(JSON.parse(await readFile(certificate, 'utf8'))).toMatchObject({ source: 'virtual' });
  });

  test.each([
    [['--size', '0'], /1 to 99999 faders/],
    [['--faults', '3,77'], /1 to 14/],
    [['--fault-share', '2'], /0 to 1/],
    [['--finish', 'polished'], /delivered, raw/],
    [['--law', '/nowhere.json'], /nowhere\.json/],
    [['--time-factor', '5000'], /at most 1000/],
    [['--surprise'], /unknown option/],
    [['stray'], /too many arguments/],
  ])('refuses %j with code 2 and plain words', async (args, reason) => {
    const { code, out, err } = await run(args);
    expect(code).toBe(2);
    expect(err).toMatch(reason);
    expect(err).not.toMatch(/^\s+at /m);
    expect(out).toBe('');
  });

  test('shows its numbers on request, those of a file marked', async () => {
    const folder = await mkdtemp(join(tmpdir(), 'rig-test-'));
    const file = join(folder, 'hard.json');
    await writeFile(file, '{"track": {"batchSd": 0.3}}');
    const { code, out } = await run(['--parameters', file, '--show-parameters']);
    expect(code).toBe(0);
    expect(out).toMatch(/batchSd.*0\.3.*\*/);
  });
});
