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
import { complain, UsageError } from './session.ts';
import { openTerminal } from './terminal.ts';

export function buildProgram(finish: (code: number) => void, json: boolean): Command {
  const program = new Command('faderwright')
    .description(
      'Bench station for slide faders: measures each fader against its law and keeps every result by serial.',
    )
    .version(programVersion)
    .exitOverride()
    // Before the words are made, so that each of them takes it over. In JSON the refusal itself is the output.
    .configureOutput({ writeErr: (text) => void (json || process.stderr.write(text)) })
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
  const json = argv.includes('--json');
  let code: number = exitCodes.done;
  const program = buildProgram((value) => {
    code = value;
  }, json);
  try {
    await program.parseAsync([...argv], { from: 'user' });
    return code;
  } catch (error) {
    const terminal = openTerminal(json);
    if (!(error instanceof CommanderError)) return complain(error, terminal);
    if (error.exitCode === 0) return exitCodes.done;
    // For a person its message or the help text is written already.
    if (json) complain(new UsageError(sentence(error)), terminal);
    return exitCodes.usage;
  }
}

function sentence(error: CommanderError): string {
  if (error.code === 'commander.help') return 'A command word is missing. --help shows the words.';
  return `${error.message.replace(/^error: /, '')} (--help shows the words of a command).`;
}

// Whoever read the output may leave early (`| head`), and so may the terminal: what is measured is recorded all the same.
for (const stream of [process.stdout, process.stderr]) {
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE' && error.code !== 'EIO') throw error;
  });
}

process.exitCode = await run(process.argv.slice(2));
