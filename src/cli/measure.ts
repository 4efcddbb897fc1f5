/** `measure`: one fader, or one after another as a scanner types their serials. */
import { createInterface } from 'node:readline';
import { type Command, Option } from 'commander';
import type { CoreClient } from '../contract/client.ts';
import type { MeasureRequest } from '../contract/commands.ts';
import { exitCodes } from './exit-codes.ts';
import { exitCodeOf, type Measured, measureOne, stopOnInterrupt } from './measuring.ts';
import { positiveNumber, share, shared, wholeNumber } from './options.ts';
import { UsageError, withCore } from './session.ts';
import type { Terminal } from './terminal.ts';

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
    .requiredOption('--operator <initials>', 'who measures')
    .option('--law <id>', 'the law, newest revision', 'PF-104')
    .option('--batch <batch>', 'batch or lot the fader belongs to')
    .addOption(
      new Option('--job <job>', 'what the measurement is for')
        .choices(['measure', 'trim', 'goodsIn', 'retest'])
        .default('measure'),
    )
    .option('--seed <number>', 'virtual rig: seed of the population', wholeNumber, 1)
    .option('--size <number>', 'virtual rig: number of faders', wholeNumber, 24)
    .addOption(
      new Option('--finish <finish>', 'virtual rig: finished or untrimmed faders')
        .choices(['delivered', 'raw'])
        .default('delivered'),
    )
    .option('--fault-share <share>', 'virtual rig: share of faders with a seeded fault', share, 0.15)
    .option('--time-factor <factor>', 'virtual rig: how many times faster than life', positiveNumber, 1)
    .action(async (options: MeasureOptions, command: Command) => {
      const { archivePath, terminal } = shared(command);
      finish(
        await withCore(archivePath, terminal, async ({ client }) => {
          if (options.virtual === (options.port !== undefined)) {
            throw new UsageError('Say where the rig is: either --port PATH (see: faderwright rig list) or --virtual.');
          }
          const known = options.virtual ? await startVirtual(client, options) : null;
          if (options.port !== undefined) await client.call('rig.connect', { path: options.port });
          return measureAll(client, terminal, options, known);
        }),
      );
    });
}

async function startVirtual(client: CoreClient, options: MeasureOptions): Promise<readonly string[]> {
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

async function measureAll(
  client: CoreClient,
  terminal: Terminal,
  options: MeasureOptions,
  virtualSerials: readonly string[] | null,
): Promise<number> {
  const guard = stopOnInterrupt(client, terminal);
  const results: Measured[] = [];
  try {
    for await (const serial of serialsToMeasure(options, terminal, virtualSerials)) {
      const measured = await measureOne(client, requestFor(serial, options), terminal);
      results.push(measured);
      report(measured, terminal);
      if (guard.interrupted()) return exitCodes.interrupted;
    }
  } finally {
    guard.off();
  }
  terminal.printJson(results);
  return Math.max(exitCodes.done, ...results.map(({ summary }) => exitCodeOf(summary.verdict)));
}

const requestFor = (serial: string, options: MeasureOptions): MeasureRequest => ({
  serial,
  operator: options.operator,
  lawId: options.law,
  batch: options.batch ?? null,
  job: options.job,
});

async function* serialsToMeasure(
  options: MeasureOptions,
  terminal: Terminal,
  virtualSerials: readonly string[] | null,
): AsyncGenerator<string> {
  if (options.serial !== undefined) {
    yield options.serial;
    return;
  }
  if (virtualSerials !== null) terminal.print(`Virtual faders: ${virtualSerials[0]} ... ${virtualSerials.at(-1)}`);
  terminal.print('Clamp a fader, close the guard, then scan or type its serial and press Enter. An empty line ends.');
  for await (const line of createInterface({ input: process.stdin })) {
    if (line.trim() === '') return;
    yield line.trim();
  }
}

function report({ summary, nextStep, attempt }: Measured, terminal: Terminal): void {
  const tries = attempt > 1 ? `  (attempt ${attempt} on this law)` : '';
  terminal.print(`${summary.verdict.toUpperCase()}  ${summary.serial}${tries}`);
  terminal.print(`  ${summary.verdictReason}`);
  terminal.print(`  Next: ${nextStep}`);
}
