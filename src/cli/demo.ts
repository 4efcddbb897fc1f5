/** `demo`: a batch of virtual faders over a real serial line, from nothing to a report, without a screen. */
import { mkdir } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import type { Command } from 'commander';
import type { CoreClient } from '../contract/client.ts';
import { verdictTable } from '../report/verdict-table.ts';
import { exitCodes } from './exit-codes.ts';
import { measureOne, stopOnInterrupt } from './measuring.ts';
import { positiveNumber, share, shared, wholeNumber } from './options.ts';
import { withCore } from './session.ts';
import { bar, spokenTime, type Terminal } from './terminal.ts';

interface DemoOptions {
  readonly size: number;
  readonly seed: number;
  readonly law: string;
  readonly faultShare: number;
  readonly timeFactor: number;
  readonly out?: string;
}

export function demoCommand(program: Command, finish: (code: number) => void): void {
  program
    .command('demo')
    .description('measure a batch of virtual faders over a serial line and write a report; needs no hardware')
    .option('--size <number>', 'number of faders', wholeNumber, 24)
    .option('--seed <number>', 'seed of the population', wholeNumber, 2026)
    .option('--law <id>', 'the law they are measured against', 'PF-104')
    .option('--fault-share <share>', 'share of faders with a seeded fault', share, 0.25)
    .option('--time-factor <factor>', 'how many times faster than life the virtual rig runs', positiveNumber, 12)
    .option('--out <folder>', 'where database and report go (default: out/demo-<date and time>)')
    .action(async (options: DemoOptions, command: Command) => {
      const { terminal } = shared(command);
      const startedAt = new Date();
      const folder = resolve(
        options.out ?? join('out', `demo-${startedAt.toISOString().slice(0, 19).replace(/[:T]/g, '-')}`),
      );
      await mkdir(folder, { recursive: true });
      finish(
        await withCore(join(folder, 'bench.sqlite'), terminal, ({ client }) =>
          measureBatch(client, terminal, options, folder),
        ),
      );
    });
}

async function measureBatch(
  client: CoreClient,
  terminal: Terminal,
  options: DemoOptions,
  folder: string,
): Promise<number> {
  const guard = stopOnInterrupt(client, terminal);
  const began = performance.now();
  try {
    const { path, serials } = await client.call('virtual.start', {
      seed: options.seed,
      size: options.size,
      lawId: options.law,
      finish: 'delivered',
      faultShare: options.faultShare,
      timeFactor: options.timeFactor,
    });
    const batch = `DEMO-${options.seed}`;
    terminal.print(
      `A virtual rig on ${path}, ${options.timeFactor} times faster than life; ${serials.length} faders of Tollgate Film Works against law ${options.law}.`,
    );
    const runIds: string[] = [];
    for (const [index, serial] of serials.entries()) {
      if (guard.interrupted()) return exitCodes.interrupted;
      const left =
        index === 0 ? '' : `, ${spokenTime(((performance.now() - began) / index) * (serials.length - index))} left`;
      const prefix = `${index + 1} of ${serials.length}${left}  `;
      const request = { serial, operator: 'KD', lawId: options.law, batch, job: 'goodsIn' } as const;
      const { summary } = await measureOne(client, request, terminal, prefix);
      runIds.push(summary.runId);
      if (!terminal.live) terminal.print(`${bar((index + 1) / serials.length)} ${summary.serial}  ${summary.verdict}`);
    }
    return await conclude(client, terminal, { batch, runIds, folder, law: options.law });
  } finally {
    guard.off();
  }
}

async function conclude(
  client: CoreClient,
  terminal: Terminal,
  { batch, runIds, folder, law }: { batch: string; runIds: readonly string[]; folder: string; law: string },
): Promise<number> {
  const runs = await Promise.all(runIds.map((runId) => client.call('run.read', { runId })));
  const laws = await client.call('law.list', {});
  const lawData = laws.find(({ data }) => data.id === law)?.data;
  const path = join(folder, 'report.html');
  const { nextSentence } = await client.call('report.write', { batch, path, title: `Batch ${batch}` });
  if (lawData !== undefined) terminal.print(verdictTable(runs, lawData, { colour: terminal.live }));
  terminal.print(`Database  ${join(folder, 'bench.sqlite')}`);
  terminal.print(`Report    ${path}`);
  terminal.print(
    `Find one  npm run faderwright -- --archive ${join(folder, 'bench.sqlite')} fader ${runs[0]?.serial ?? 'SERIAL'}`,
  );
  terminal.print(`Next      ${nextSentence}`);
  terminal.printJson({
    folder,
    report: path,
    nextSentence,
    verdicts: runs.map(({ serial, verdict, verdictReason }) => ({ serial, verdict, verdictReason })),
  });
  return exitCodes.done;
}
