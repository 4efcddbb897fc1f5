/** `law check`, `law list`, `law add`. */
import { basename } from 'node:path';
import type { Command } from 'commander';
import { exitCodes } from './exit-codes.ts';
import { shared, shortName } from './options.ts';
import { readNamedFile } from './read-file.ts';
import { UsageError, withCore } from './session.ts';

/** Undecodable bytes become a mark that the law's own reader refuses with its line. */
async function readLawFile(path: string): Promise<string> {
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(await readNamedFile(path));
}

export function lawCommands(program: Command, finish: (code: number) => void): void {
  const law = program.command('law').description('the laws: what a fader should do');

  law
    .command('check <file>')
    .description('read a law file (.csv points or .json whole law) and list every problem by line')
    .action(async (file: string, _options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      const text = await readLawFile(file);
      finish(
        await withCore(
          archivePath,
          terminal,
          async ({ client }) => {
            const checked = await client.call('law.check', {
              name: basename(file),
              text,
              baseLawId: null,
            });
            if (checked.kind === 'points') {
              terminal.print(
                `${file}: good. ${checked.points} points, ${checked.marks} marks. To make them a law's next revision: law add ${file} --base ID`,
              );
            } else {
              const { id, revision, points, travelMm } = checked.law;
              terminal.print(
                `${file}: good. ${id} revision ${revision}, ${points.length} points over ${travelMm} mm. Next: law add ${file}`,
              );
            }
            terminal.printJson({ good: true, ...checked });
            return exitCodes.done;
          },
          { beside: true },
        ),
      );
    });

  law
    .command('add <file>')
    .description('check a law file and keep it; a revision once kept is never changed')
    .option('--base <id>', 'for a file of points: the law whose next revision they become', shortName)
    .action(async (file: string, { base }: { base?: string }, command: Command) => {
      const { archivePath, terminal } = shared(command);
      const text = await readLawFile(file);
      finish(
        await withCore(
          archivePath,
          terminal,
          async ({ client }) => {
            const checked = await client.call('law.check', {
              name: basename(file),
              text,
              baseLawId: base ?? null,
            });
            if (checked.kind === 'points') {
              throw new UsageError(
                `${file} holds points only, and a law needs more: resistance, end limits, load. Say whose next revision they are with --base ID (law list shows the laws), or write a whole law as JSON (docs/laws.md).`,
              );
            }
            const data = checked.law;
            const kept = await client.call('law.list', {});
            await client.call('law.store', { law: data });
            // Other content under the same revision was refused just now.
            const isKnown = kept.some((one) => one.data.id === data.id && one.data.revision === data.revision);
            terminal.print(
              isKnown
                ? `Already kept, unchanged: ${data.id} revision ${data.revision}.`
                : `Kept: ${data.id} revision ${data.revision}. Measure against it with: measure --law ${data.id}`,
            );
            terminal.printJson({
              kept: { id: data.id, revision: data.revision },
              ...(isKnown ? { unchanged: true } : {}),
            });
            return exitCodes.done;
          },
          { beside: true },
        ),
      );
    });

  law
    .command('list')
    .description('all laws and revisions, and how many runs were measured against each')
    .action(async (_options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      finish(
        await withCore(
          archivePath,
          terminal,
          async ({ client }) => {
            const laws = await client.call('law.list', {});
            for (const { data, runs } of laws) {
              terminal.print(
                `${data.id.padEnd(10)} revision ${String(data.revision).padEnd(3)} ${String(runs).padStart(6)} runs   ${data.title}`,
              );
            }
            terminal.printJson(laws);
            return exitCodes.done;
          },
          { beside: true },
        ),
      );
    });
}
