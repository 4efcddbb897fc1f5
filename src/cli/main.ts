/** The command line: words in, exit code out. `faderwright --help` shows the words. */
import { CommanderError } from 'commander';
import { exitCodes } from './exit-codes.ts';
import { buildProgram } from './program.ts';
import { complain, UsageError } from './session.ts';
import { openTerminal } from './terminal.ts';

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
