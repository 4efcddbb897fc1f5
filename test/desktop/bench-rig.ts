/** A virtual rig that nobody of the program started: on a port of its own, with a person beside it who can pull its plug. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Calibration } from '../../src/trust/calibration.ts';
import { checkout } from './app.ts';

export interface BenchRig {
  readonly path: string;
  readonly certificatePath: string;
  readonly certificate: Calibration;
  /** Does what a person types at the rig, and gives what it says. */
  say(line: string): Promise<string>;
  /** `carriage still at ...` or `carriage moving at ...` */
  carriage(): Promise<'still' | 'moving'>;
  positionMm(): Promise<number>;
  stop(): Promise<void>;
}

export async function startBenchRig(folder: string, timeFactor: number): Promise<BenchRig> {
  const certificatePath = join(folder, 'certificate.json');
  const child = spawn(
    process.execPath,
    [
      join(checkout, 'firmware-protocol', 'virtual-rig', 'main.ts'),
      ...['--certificate', certificatePath, '--time-factor', String(timeFactor), '--size', '4', '--seed', '7'],
    ],
    { stdio: ['pipe', 'pipe', 'inherit'] },
  );
  const lines = createInterface({ input: child.stdout });
  const answers = lines[Symbol.asyncIterator]();
  const next = async (): Promise<string> => {
    const { value, done } = await answers.next();
    if (done === true) throw new Error('The rig has ended.');
    return value;
  };
  const path = / on (\S+) with /.exec(await next())?.[1];
  if (path === undefined) throw new Error('The rig does not say where it is.');
  await next();
  const say = async (line: string): Promise<string> => {
    child.stdin.write(`${line}\n`);
    return next();
  };
  await say('load 1');
  return {
    path,
    certificatePath,
    certificate: JSON.parse(await readFile(certificatePath, 'utf8')) as Calibration,
    say,
    carriage: async () => (/carriage still/.test(await say('status')) ? 'still' : 'moving'),
    positionMm: async () => Number(/ at (-?[\d.]+) mm/.exec(await say('status'))?.[1]),
    stop: () => end(child),
  };
}

async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const ended = once(child, 'exit');
  child.kill();
  await ended;
}
