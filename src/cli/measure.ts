/** `measure`: one fader, or one after another as a scanner types their serials. */
import { createInterface } from 'node:readline';
import { type Command, Option } from 'commander';
import type { CoreClient } from '../contract/client.ts';
import type { MeasureRequest } from '../contract/commands.ts';
import { type ErrorData, toErrorData } from '../contract/errors.ts';
import { exitCodeFor, exitCodes } from './exit-codes.ts';
import { exitCodeOf, type InterruptGuard, type Measured, measureOne, stopOnInterrupt } from './measuring.ts';
import { batchSize, initials, share, shared, shortName, timeFactor, wholeNumber } from './options.ts';
import { UsageError, withCore } from './session.ts';
import type { Terminal } from './terminal.ts';
import { virtualMark } from './virtual-mark.ts';

interface MeasureOptions {
  readonly port?: string;
  readonly virtual: boolean;
  readonly serial?: string;
  readonly operator: string;
  readonly law: string;
  readonly batch?: string;
  readonly job: MeasureRequest['job'];
  readonly seed: number;
  readonly size: number;
  readonly finish: 'delivered' | 'raw';
  readonly faultShare: number;
  readonly timeFactor: number;
}

export function measureCommand(program: Command, finish: (code: number) => void): void {
  program
    .command('measure')
    .description('measure a fader against its law; without --serial, one after another as their serials are scanned')
    .option('--port <path>', 'serial port of the rig (see: faderwright rig list)')
    .option('--virtual', 'use a virtual rig instead; every result is marked so', false)
    .option('--serial <serial>', 'serial of the fader in the clamp')
    .requiredOption('--operator <initials>', 'who measures', initials)
    .option('--law <id>', 'the law, newest revision', shortName, 'PF-104')
    .option('--batch <batch>', 'batch or lot the fader belongs to', shortName)
    .addOption(
      new Option('--job <job>', 'what the measurement is for')
        .choices(['measure', 'trim', 'goodsIn', 'retest'])
        .default('measure'),
    )
    .option('--seed <number>', 'virtual rig: seed of the population', wholeNumber, 2026)
    .option('--size <number>', 'virtual rig: number of faders', batchSize, 24)
    .addOption(
      new Option('--finish <finish>', 'virtual rig: finished or untrimmed faders')
        .choices(['delivered', 'raw'])
        .default('delivered'),
    )
    .option('--fault-share <share>', 'virtual rig: share of faders with a seeded fault', share, 0.25)
    .option('--time-factor <factor>', 'virtual rig: how many times faster than life', timeFactor, 1)
    .action(async (options: MeasureOptions, command: Command) => {
      const { archivePath, terminal } = shared(command);
      if (options.virtual === (options.port !== undefined)) {
        throw new UsageError('Say where the rig is: either --port PATH (see: faderwright rig list) or --virtual.');
      }
      finish(await withCore(archivePath, terminal, ({ client }) => measureAll(client, terminal, options)));
    });
}

/** Connects the rig that was asked for. @returns serials of the virtual batch; null = a rig on a port */
async function takeRig(client: CoreClient, options: MeasureOptions): Promise<readonly string[] | null> {
  if (options.port !== undefined) {
    await client.call('rig.connect', { path: options.port });
    return null;
  }
  const { serials } = await client.call('virtual.start', {
    seed: options.seed,
    size: options.size,
    lawId: options.law,
    finish: options.finish,
    faultShare: options.faultShare,
    timeFactor: options.timeFactor,
  });
  return serials;
}

/** One serial that was not measured, and why. */
interface Refused {
  readonly serial: string;
  readonly error: ErrorData;
}

async function measureAll(client: CoreClient, terminal: Terminal, options: MeasureOptions): Promise<number> {
  const guard = stopOnInterrupt(client, terminal);
  const results: (Measured | Refused)[] = [];
  const codes: number[] = [];
  try {
    const virtualSerials = await takeRig(client, options);
    if (options.serial === undefined && !guard.interrupted()) invite(terminal, virtualSerials);
    for await (const serial of serialsToMeasure(options, guard)) {
      try {
        await rigBack(client, terminal, guard.signal);
        const measured = await measureOne(client, requestFor(serial, options), terminal, { guard });
        results.push(measured);
        codes.push(exitCodeOf(measured.summary.verdict));
        report(measured, terminal);
      } catch (caught) {
        // A misread label or a rig that has gone is no reason to send the operator back to the shell.
        const error = toErrorData(caught);
        const code = exitCodeFor(error.code);
        if (code === exitCodes.defect || code === exitCodes.archive) throw caught;
        results.push({ serial: serial.slice(0, serialShown), error });
        codes.push(code);
        terminal.tellOf(error);
      }
      if (guard.interrupted()) break;
    }
  } finally {
    guard.off();
  }
  if (guard.interrupted()) codes.push(exitCodes.interrupted);
  else if (results.length === 0) {
    throw new UsageError('No serial was given, so nothing was measured. Scan one, type one, or give --serial.');
  }
  terminal.printJson(results);
  return Math.max(...codes);
}

/** How long a rig that was lost is waited for before a serial is refused. */
const rigPatienceMs = 10_000;

/** After a lost line the core connects again by itself, which takes a moment. */
async function rigBack(client: CoreClient, terminal: Terminal, interrupted: AbortSignal): Promise<void> {
  const { rig } = await client.call('snapshot', {});
  if (rig.state === 'ready' || rig.state === 'refused') return;
  terminal.tell(`Waiting for the rig${rig.reason === null ? '' : `: ${rig.reason}`}`);
  await new Promise<void>((resolve) => {
    const stopListening = client.onEvent((event) => {
      if (event.kind === 'snapshot' && event.snapshot.rig.state === 'ready') goOn();
    });
    const timer = setTimeout(goOn, rigPatienceMs);
    interrupted.addEventListener('abort', goOn, { once: true });
    function goOn(): void {
      stopListening();
      clearTimeout(timer);
      interrupted.removeEventListener('abort', goOn);
      resolve();
    }
  });
}

/** Far above any label; more of it would tell nobody more. */
const serialShown = 200;

const requestFor = (serial: string, options: MeasureOptions): MeasureRequest => ({
  serial: serial.slice(0, serialShown),
  operator: options.operator,
  lawId: options.law,
  batch: options.batch ?? null,
  job: options.job,
});

function invite(terminal: Terminal, virtualSerials: readonly string[] | null): void {
  if (virtualSerials !== null) terminal.print(`Virtual faders: ${virtualSerials[0]} ... ${virtualSerials.at(-1)}`);
  terminal.print('Clamp a fader, close the guard, then scan or type its serial and press Enter. An empty line ends.');
}

async function* serialsToMeasure(options: MeasureOptions, { signal }: InterruptGuard): AsyncGenerator<string> {
  if (signal.aborted) return;
  if (options.serial !== undefined) {
    yield options.serial;
    return;
  }
  for await (const line of createInterface({ input: process.stdin, signal })) {
    if (line.trim() === '') return;
    yield line.trim();
  }
}

function report({ summary, nextStep, attempt }: Measured, terminal: Terminal): void {
  const tries = attempt > 1 ? `  (attempt ${attempt} on this law)` : '';
  terminal.print(`${summary.verdict.toUpperCase()}  ${summary.serial}${tries}${virtualMark(summary)}`);
  terminal.print(`  ${summary.verdictReason}`);
  terminal.print(`  Next: ${nextStep}`);
}
