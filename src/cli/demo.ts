/** `demo`: a batch of virtual faders over a real serial line, from nothing to a report, without a screen. */
import { join, resolve } from 'node:path';
import type { Command } from 'commander';
import type { CoreClient } from '../contract/client.ts';
import { verdictTable } from '../report/verdict-table.ts';
import { diskWords, makeFolder } from '../station/disk.ts';
import { type DemoTrim, trimDemoBatch } from './demo-trim.ts';
import { exitCodes } from './exit-codes.ts';
import { type InterruptGuard, measureOne, stopOnInterrupt } from './measuring.ts';
import { batchSize, share, shared, shortName, timeFactor, wholeNumber } from './options.ts';
import { UsageError, withCore } from './session.ts';
import { bar, pasteable, spokenTime, type Terminal } from './terminal.ts';
import { virtualMark } from './virtual-mark.ts';

interface DemoOptions {
  readonly size: number;
  readonly trim: number;
  readonly seed: number;
  readonly law: string;
  readonly faultShare: number;
  readonly timeFactor: number;
  readonly out?: string;
}

interface DemoPlaces {
  readonly archivePath: string;
  readonly reportPath: string;
  readonly trimReportPath: string;
}

export function demoCommand(program: Command, finish: (code: number) => void): void {
  program
    .command('demo')
    .description('measure a batch of virtual faders, trim one of raw tracks, and write reports; needs no hardware')
    .option('--size <number>', 'number of faders', batchSize, 24)
    .option('--trim <number>', 'number of raw tracks to trim; 0 = none', wholeNumber, 6)
    .option('--seed <number>', 'seed of the population', wholeNumber, 2026)
    .option('--law <id>', 'the law they are measured against', shortName, 'PF-104')
    .option('--fault-share <share>', 'share of faders with a seeded fault', share, 0.25)
    .option('--time-factor <factor>', 'how many times faster than life the virtual rig runs', timeFactor, 12)
    .option('--out <folder>', 'where database and report go (default: out/demo-<date and time>)')
    .action(async (options: DemoOptions, command: Command) => {
      const { terminal, archivePath, isArchiveGiven } = shared(command);
      const startedAt = new Date();
      const folder = resolve(
        options.out ?? join('out', `demo-${startedAt.toISOString().slice(0, 19).replace(/[:T]/g, '-')}`),
      );
      const places = {
        archivePath: isArchiveGiven ? archivePath : join(folder, 'bench.sqlite'),
        reportPath: join(folder, 'report.html'),
        trimReportPath: join(folder, 'trim-report.html'),
      };
      try {
        makeFolder(folder);
      } catch (error) {
        throw new UsageError(`Cannot make the folder ${folder}: ${diskWords(error)}. Give another with --out.`, {
          cause: error,
        });
      }
      finish(
        await withCore(places.archivePath, terminal, ({ client }) => measureBatch(client, terminal, options, places)),
      );
    });
}

async function measureBatch(
  client: CoreClient,
  terminal: Terminal,
  options: DemoOptions,
  places: DemoPlaces,
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
    const batch = await unusedBatch(client, `DEMO-${options.seed}`);
    terminal.print(
      `A virtual rig on ${path}, ${options.timeFactor} times faster than life; ${serials.length} faders of Tollgate Film Works against law ${options.law}.`,
    );
    const runIds: string[] = [];
    for (const [index, serial] of serials.entries()) {
      if (guard.interrupted()) break;
      const left =
        index === 0 ? '' : `, ${spokenTime(((performance.now() - began) / index) * (serials.length - index))} left`;
      const prefix = `${index + 1} of ${serials.length}${left}  `;
      const request = { serial, operator: 'KD', lawId: options.law, batch, job: 'goodsIn' } as const;
      const { summary } = await measureOne(client, request, terminal, { guard, prefix });
      runIds.push(summary.runId);
      if (!terminal.live)
        terminal.print(
          `${bar((index + 1) / serials.length)} ${summary.serial}  ${summary.verdict}${virtualMark(summary)}`,
        );
    }
    if (guard.interrupted()) {
      terminal.print(`Interrupted after ${runIds.length} of ${serials.length}. Database  ${places.archivePath}`);
      terminal.printJson({ interrupted: true, database: places.archivePath, runs: runIds });
      return exitCodes.interrupted;
    }
    return await conclude(client, terminal, guard, { batch, runIds, places, options });
  } finally {
    guard.off();
  }
}

/** A second demo into the same database is a batch of its own. */
async function unusedBatch(client: CoreClient, name: string): Promise<string> {
  for (let count = 1; ; count += 1) {
    const batch = count === 1 ? name : `${name}-${count}`;
    const { runs } = await client.call('runs.find', { batch, limit: 1 });
    if (runs.length === 0) return batch;
  }
}

interface MeasuredBatch {
  readonly batch: string;
  readonly runIds: readonly string[];
  readonly places: DemoPlaces;
  readonly options: DemoOptions;
}

async function conclude(
  client: CoreClient,
  terminal: Terminal,
  guard: InterruptGuard,
  { batch, runIds, places, options }: MeasuredBatch,
): Promise<number> {
  const { archivePath, reportPath, trimReportPath } = places;
  const { law, seed, timeFactor: factor, trim: size } = options;
  const runs = await Promise.all(runIds.map((runId) => client.call('run.read', { runId })));
  const laws = await client.call('law.list', {});
  const lawData = laws.find(({ data }) => data.id === law)?.data;
  const { nextSentence } = await client.call('report.write', { batch, path: reportPath, title: `Batch ${batch}` });
  if (lawData !== undefined) terminal.print(verdictTable(runs, lawData, { colour: terminal.live }));
  terminal.print(`Database  ${archivePath}`);
  terminal.print(`Report    ${reportPath}`);
  terminal.print(
    `Find one  npm run faderwright -- --archive ${pasteable(archivePath)} fader ${runs[0]?.serial ?? 'SERIAL'}`,
  );
  terminal.print(`Next      ${nextSentence}`);
  const demo: DemoTrim = {
    // Each piece is measured twice or more: at twice the pace the whole demo stays well within two minutes.
    ...{ law, seed, size, timeFactor: Math.min(1000, 2 * factor), reportPath: trimReportPath },
    batch: await unusedBatch(client, `TRIM-${seed}`),
  };
  const trimming = size === 0 ? null : await trimDemoBatch(client, terminal, guard, demo);
  if (trimming !== null) {
    terminal.print(
      `See it    npm run faderwright -- --archive ${pasteable(archivePath)} trim-batch ${pasteable(demo.batch)}`,
    );
  }
  const isCutShort = size > 0 && trimming === null;
  terminal.printJson({
    ...(isCutShort ? { interrupted: true } : {}),
    database: archivePath,
    report: reportPath,
    ...(trimming === null ? {} : { trimReport: trimReportPath, trimming }),
    nextSentence,
    verdicts: runs.map(({ serial, verdict, verdictReason }) => ({ serial, verdict, verdictReason })),
  });
  return isCutShort ? exitCodes.interrupted : exitCodes.done;
}
