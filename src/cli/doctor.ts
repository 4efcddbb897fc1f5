/** `doctor`: looks at ports, permissions, database and runtime, and says what to do about each. */
import type { Command } from 'commander';
import { exitCodes } from './exit-codes.ts';
import { shared } from './options.ts';
import { withCore } from './session.ts';

const marks = { good: '●', attention: '◐', bad: '■' } as const;

export function doctorCommand(program: Command, finish: (code: number) => void): void {
  program
    .command('doctor')
    .description('look at ports, permissions, database and runtime; say what is wrong and what to do')
    .action(async (_options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      finish(
        await withCore(archivePath, terminal, async ({ client }) => {
          const lines = await client.call('doctor', {});
          for (const { state, subject, text, remedy } of lines) {
            terminal.print(`${marks[state]} ${state.padEnd(9)} ${subject.padEnd(12)} ${text}`);
            if (remedy !== null) terminal.print(`${' '.repeat(25)}do: ${remedy}`);
          }
          terminal.printJson(lines);
          if (!lines.some((line) => line.state === 'bad')) return exitCodes.done;
          return lines.some((line) => line.state === 'bad' && line.subject === 'database')
            ? exitCodes.archive
            : exitCodes.rig;
        }),
      );
    });
}
