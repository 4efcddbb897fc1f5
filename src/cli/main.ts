/** The command line: words in, exit code out. `faderwright --help` shows the words. */
import { Command, CommanderError } from 'commander';
import { programVersion } from '../core/version.ts';
import { archiveCommands } from './archive-commands.ts';
import { demoCommand } from './demo.ts';
import { doctorCommand } from './doctor.ts';
import { exitCodes, exitCodeTable } from './exit-codes.ts';
import { lawCommands } from './law-commands.ts';
import { measureCommand } from './measure.ts';
import { rigCommands } from './rig-commands.ts';

export function buildProgram(finish: (code: number) => void): Command {
  const program = new Command('faderwright')
    .description(
      'Bench station for slide faders: measures each fader against its law and keeps every result by serial.',
    )
    .version(programVersion)
    .exitOverride()
    .showHelpAfterError('(add --help to see the words of this command)')
    .configureHelp({ showGlobalOptions: true })
    .option('--archive <file>', 'the database file (default: the user data folder)')
    .option('--json', 'print results and errors as JSON on standard output', false)
    .addHelpText(
      'after',
      `\nExit codes:\n${exitCodeTable.map(([code, text]) => `  ${String(code).padStart(3)}  ${text}`).join('\n')}`,
    );
  demoCommand(program, finish);
  measureCommand(program, finish);
  rigCommands(program, finish);
  lawCommands(program, finish);
  archiveCommands(program, finish);
  doctorCommand(program, finish);
  return program;
}

async function run(argv: readonly string[]): Promise<number> {
  let code: number = exitCodes.done;
  const program = buildProgram((value) => {
    code = value;
  });
  try {
    await program.parseAsync([...argv], { from: 'user' });
    return code;
  } catch (error) {
    // Commander has already written its message or the help text.
    if (error instanceof CommanderError) return error.exitCode === 0 ? exitCodes.done : exitCodes.usage;
    throw error;
  }
}

process.exitCode = await run(process.argv.slice(2));
