/** All words of the command line. */
import { Command } from 'commander';
import { programVersion } from '../core/version.ts';
import { archiveCommands } from './archive-commands.ts';
import { demoCommand } from './demo.ts';
import { doctorCommand } from './doctor.ts';
import { exitCodeTable } from './exit-codes.ts';
import { lawCommands } from './law-commands.ts';
import { measureCommand } from './measure.ts';
import { rigCommands } from './rig-commands.ts';
import { trimCommands } from './trim.ts';

/** @param finish takes the exit code of the word that was carried out */
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
  trimCommands(program, finish);
  rigCommands(program, finish);
  lawCommands(program, finish);
  archiveCommands(program, finish);
  doctorCommand(program, finish);
  return program;
}
