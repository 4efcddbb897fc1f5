/** `fader`, `export`, `backup`: what the archive knows. */
import { resolve } from 'node:path';
import { type Command, Option } from 'commander';
import type { FindQuery } from '../contract/commands.ts';
import type { RunSummary } from '../contract/records.ts';
import { exitCodes } from './exit-codes.ts';
import { isoDate, shared, shortName } from './options.ts';
import { looksOnly, withCore } from './session.ts';
import { bar, visible } from './terminal.ts';
import { virtualMark } from './virtual-mark.ts';

interface QueryOptions {
  readonly serial?: string;
  readonly batch?: string;
  readonly verdict?: FindQuery['verdict'];
  readonly law?: string;
  readonly from?: string;
  readonly to?: string;
}

const asQuery = (options: QueryOptions): FindQuery => ({
  ...(options.serial === undefined ? {} : { serialPart: options.serial }),
  ...(options.batch === undefined ? {} : { batch: options.batch }),
  ...(options.verdict === undefined ? {} : { verdict: options.verdict }),
  ...(options.law === undefined ? {} : { lawId: options.law }),
  ...(options.from === undefined ? {} : { from: options.from }),
  ...(options.to === undefined ? {} : { to: options.to }),
});

const summaryLine = (run: RunSummary): string =>
  `${run.startedAt.slice(0, 19).replace('T', ' ')}  ${run.serial}  ${run.verdict.padEnd(5)}  ${run.lawId} rev ${run.lawRevision}  ${run.operator}  ${run.verdictReason}${virtualMark(run)}`;

export function archiveCommands(program: Command, finish: (code: number) => void): void {
  program
    .command('fader <serial>')
    .description('every run of one serial, newest first')
    .action(async (given: string, _options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      const serial = given.slice(0, 200);
      finish(
        await withCore(
          archivePath,
          terminal,
          async ({ client }) => {
            const runs = await client.call('runs.ofSerial', { serial });
            if (runs.length === 0) {
              const near = await client.call('runs.find', { serialPart: serial, limit: 50 });
              const names = [...new Set(near.runs.map((run) => run.serial))].slice(0, 5);
              terminal.print(`No run of ${visible(serial)} in ${archivePath}.`);
              if (names.length > 0) terminal.print(`Did you mean: ${names.join(', ')}?`);
            }
            for (const run of runs) terminal.print(summaryLine(run));
            terminal.printJson(runs);
            return exitCodes.done;
          },
          looksOnly,
        ),
      );
    });

  program
    .command('export <file>')
    .description('write runs as CSV or JSON; without a filter all of them')
    .addOption(
      new Option('--what <what>', 'one row per run, law point, raw reading or other check (CSV), or everything (JSON)')
        .choices(['runs', 'points', 'readings', 'checks', 'json'])
        .default('runs'),
    )
    .option('--serial <part>', 'serials that contain this')
    .option('--batch <batch>', 'one batch', shortName)
    .addOption(new Option('--verdict <word>', 'one verdict').choices(['pass', 'doubt', 'fail', 'void']))
    .option('--law <id>', 'one law', shortName)
    .option('--from <date>', 'started on or after', isoDate)
    .option('--to <date>', 'started before', isoDate)
    .action(
      async (
        file: string,
        options: QueryOptions & { what: 'runs' | 'points' | 'readings' | 'checks' | 'json' },
        command: Command,
      ) => {
        const { archivePath, terminal } = shared(command);
        const path = resolve(file);
        finish(
          await withCore(
            archivePath,
            terminal,
            async ({ client }) => {
              const written = await client.call('export.write', { query: asQuery(options), what: options.what, path });
              terminal.print(`Wrote ${written.runs} runs (${written.bytes} bytes) to ${path}`);
              terminal.printJson({ path, ...written });
              return exitCodes.done;
            },
            looksOnly,
          ),
        );
      },
    );

  program
    .command('backup <file>')
    .description('copy the database while it is in use; the copy is checked before it gets its name')
    .action(async (file: string, _options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      const path = resolve(file);
      finish(
        await withCore(
          archivePath,
          terminal,
          async ({ client }) => {
            client.onEvent((event) => {
              if (event.kind === 'transfer') terminal.progress(`${bar(event.fraction)} copying to ${path}`);
            });
            const { bytes, runs } = await client.call('archive.backup', { path });
            terminal.print(`Backed up ${archivePath} to ${path} (${runs} runs, ${bytes} bytes, checked).`);
            terminal.printJson({ path, runs, bytes });
            return exitCodes.done;
          },
          looksOnly,
        ),
      );
    });
}
