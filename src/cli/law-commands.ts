/** `law check`, `law list`, `law add`. */
import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import type { Command } from 'commander';
import { exitCodes } from './exit-codes.ts';
import { shared } from './options.ts';
import { UsageError, withCore } from './session.ts';

const largestLawFile = 5_000_000;

async function readLawFile(path: string): Promise<string> {
  let bytes: Buffer;
  try {
    bytes = await readFile(path);
  } catch (error) {
    throw new UsageError(
      `Cannot read ${path}: ${error instanceof Error ? error.message : String(error)}. Check the name.`,
      {
        cause: error,
      },
    );
  }
  if (bytes.length > largestLawFile) {
    throw new UsageError(
      `${path} has ${bytes.length} bytes; a law file has at most ${largestLawFile}. Is it the right file?`,
    );
  }
  return bytes.toString('utf8');
}

export function lawCommands(program: Command, finish: (code: number) => void): void {
  const law = program.command('law').description('the laws: what a fader should do');

  law
    .command('check <file>')
    .description('read a law file (.csv points or .json whole law) and list every problem by line')
    .action(async (file: string, _options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      finish(
        await withCore(archivePath, terminal, async ({ client }) => {
          const { law: data } = await client.call('law.check', { name: basename(file), text: await readLawFile(file) });
          terminal.print(
            `${file}: good. ${data.id} revision ${data.revision}, ${data.points.length} points over ${data.travelMm} mm. Next: law add ${file}`,
          );
          terminal.printJson({ good: true, law: data });
          return exitCodes.done;
        }),
      );
    });

  law
    .command('add <file>')
    .description('check a whole law (.json) and keep it; a revision once kept is never changed')
    .action(async (file: string, _options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      finish(
        await withCore(archivePath, terminal, async ({ client }) => {
          const { law: data } = await client.call('law.check', { name: basename(file), text: await readLawFile(file) });
          await client.call('law.store', { law: data });
          terminal.print(
            `Kept: ${data.id} revision ${data.revision}. Measure against it with: measure --law ${data.id}`,
          );
          terminal.printJson({ kept: { id: data.id, revision: data.revision } });
          return exitCodes.done;
        }),
      );
    });

  law
    .command('list')
    .description('all laws and revisions, and how many runs were measured against each')
    .action(async (_options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      finish(
        await withCore(archivePath, terminal, async ({ client }) => {
          const laws = await client.call('law.list', {});
          for (const { data, runs } of laws) {
            terminal.print(
              `${data.id.padEnd(10)} revision ${String(data.revision).padEnd(3)} ${String(runs).padStart(6)} runs   ${data.title}`,
            );
          }
          terminal.printJson(laws);
          return exitCodes.done;
        }),
      );
    });
}
