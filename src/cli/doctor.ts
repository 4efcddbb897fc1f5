/** `doctor`: looks at ports, permissions, database and runtime, and says what to do about each. */
import type { Command } from 'commander';
import type { DoctorLine } from '../contract/commands.ts';
import { toErrorData } from '../contract/errors.ts';
import { launchCore } from '../core/launch.ts';
import { programVersion } from '../core/version.ts';
import { exitCodeFor, exitCodes } from './exit-codes.ts';
import { shared } from './options.ts';
import { complain } from './session.ts';
import { type Terminal, visible } from './terminal.ts';

const marks = { good: '●', attention: '◐', bad: '■' } as const;

export function doctorCommand(program: Command, finish: (code: number) => void): void {
  program
    .command('doctor')
    .description('look at ports, permissions, database and runtime; say what is wrong and what to do')
    .action(async (_options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      const core = launchCore({ archivePath, beside: true });
      try {
        const reason = await core.client.ready.then(
          () => null,
          (error: unknown) => error,
        );
        finish(
          reason === null
            ? show(await core.client.call('doctor', {}), terminal)
            : await withoutArchive(reason, archivePath, terminal),
        );
      } catch (error) {
        finish(complain(error, terminal));
      } finally {
        await core.stop();
      }
    });
}

/** A database that cannot be opened is when a doctor is called; everything else is looked at all the same. */
async function withoutArchive(reason: unknown, archivePath: string, terminal: Terminal): Promise<number> {
  const { code, message } = toErrorData(reason);
  if (exitCodeFor(code) !== exitCodes.archive) return complain(reason, terminal);
  // Only here: they bring serial port and physics along, which no other word needs in this process.
  const { VirtualRigDoor } = await import('../core/virtual-rig.ts');
  const { examineWithoutArchive } = await import('../station/doctor.ts');
  const lines = await examineWithoutArchive(archivePath, message, {
    programVersion,
    node: process.versions.node,
    platform: `${process.platform} ${process.arch}`,
    ptyProblem: await new VirtualRigDoor(
      () => new Date(),
      () => {},
    ).ptyProblem(),
  });
  return show(lines, terminal);
}

function show(lines: readonly DoctorLine[], terminal: Terminal): number {
  for (const { state, subject, text, remedy } of lines) {
    terminal.print(visible(`${marks[state]} ${state.padEnd(9)} ${subject.padEnd(12)} ${text}`));
    if (remedy !== null) terminal.print(visible(`${' '.repeat(25)}do: ${remedy}`));
  }
  terminal.printJson(lines);
  if (lines.some((line) => line.state === 'bad' && line.subject === 'database')) return exitCodes.archive;
  return lines.some((line) => line.state === 'bad') ? exitCodes.rig : exitCodes.done;
}
