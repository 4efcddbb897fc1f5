/** `trim`: one raw track, or one after another as their serials are scanned; `trim-batch`: how a batch stands. */
import { createInterface } from 'node:readline';
import { type Command, Option } from 'commander';
import type { CoreClient } from '../contract/client.ts';
import { type ErrorData, toErrorData } from '../contract/errors.ts';
import type { ToolKind, TrimPiece } from '../contract/trim.ts';
import { exitCodeFor, exitCodes } from './exit-codes.ts';
import { stopOnInterrupt } from './measuring.ts';
import { batchSize, initials, shared, shortName, timeFactor, wholeNumber } from './options.ts';
import { looksOnly, UsageError, withCore } from './session.ts';
import type { Terminal } from './terminal.ts';
import { trimBatchTable } from './trim-table.ts';
import { type Cutter, cutText, exitCodeOfPiece, trimOne, virtualCutter } from './trimming.ts';
import { virtualMark } from './virtual-mark.ts';

interface TrimOptions {
  readonly port?: string;
  readonly virtual: boolean;
  readonly serial?: string;
  readonly operator: string;
  readonly law: string;
  readonly batch?: string;
  readonly tool: string;
  readonly toolKind: ToolKind;
  readonly seed: number;
  readonly size: number;
  readonly timeFactor: number;
}

export function trimCommands(program: Command, finish: (code: number) => void): void {
  program
    .command('trim')
    .description('bring raw tracks in: measure, say where to cut and how deep, measure again, stop in time')
    .option('--port <path>', 'serial port of the rig (see: faderwright rig list)')
    .option('--virtual', 'use a virtual rig and a virtual tool instead: trims a whole batch of raw tracks', false)
    .option('--serial <serial>', 'serial of the piece in the clamp')
    .requiredOption('--operator <initials>', 'who cuts', initials)
    .option('--law <id>', 'the law, newest revision', shortName, 'PF-104')
    .option('--batch <batch>', 'batch or sheet the pieces belong to', shortName)
    .option('--tool <name>', 'name of the tool: what is learnt of it is kept under this name', shortName, 'tool-1')
    .addOption(new Option('--tool-kind <kind>', 'how it cuts').choices(['mill', 'abrasive', 'hand']).default('mill'))
    .option('--seed <number>', 'virtual rig: seed of the population and of the tool', wholeNumber, 1)
    .option('--size <number>', 'virtual rig: number of tracks', batchSize, 6)
    .option('--time-factor <factor>', 'virtual rig: how many times faster than life', timeFactor, 1)
    .action(async (options: TrimOptions, command: Command) => {
      const { archivePath, terminal } = shared(command);
      if (options.virtual === (options.port !== undefined)) {
        throw new UsageError('Say where the rig is: either --port PATH (see: faderwright rig list) or --virtual.');
      }
      finish(await withCore(archivePath, terminal, ({ client }) => trimAll(client, terminal, options)));
    });

  program
    .command('trim-batch <batch>')
    .description('how a trimming batch stands: sorts, passes, gain of the tool')
    .option('--report <file>', 'also write before, after and cuts of every piece as an HTML file')
    .action(async (batch: string, { report }: { report?: string }, command: Command) => {
      const { archivePath, terminal } = shared(command);
      const work = async ({ client }: { client: CoreClient }): Promise<number> => {
        const view = await client.call('trim.batch', { batch });
        if (view.pieces.length === 0) throw new UsageError(`No piece of batch ${batch} was ever trimmed.`);
        const { runs } = await client.call('runs.find', { batch, limit: 1 });
        terminal.print(trimBatchTable(view, runs[0] === undefined ? '' : virtualMark(runs[0])));
        if (report !== undefined) {
          await client.call('trim.report', { batch, path: report, title: `Trimming batch ${batch}` });
          terminal.print(`Report    ${report}`);
        }
        terminal.printJson(view);
        return exitCodes.done;
      };
      finish(await withCore(archivePath, terminal, work, looksOnly));
    });
}

/** One serial that was not trimmed, and why. */
interface Refused {
  readonly serial: string;
  readonly error: ErrorData;
}

async function trimAll(client: CoreClient, terminal: Terminal, options: TrimOptions): Promise<number> {
  const guard = stopOnInterrupt(client, terminal);
  const lines = createInterface({ input: process.stdin, signal: guard.signal });
  const typed = lines[Symbol.asyncIterator]();
  const results: (TrimPiece | Refused)[] = [];
  const codes: number[] = [];
  try {
    const virtualSerials = await takeRig(client, options);
    const cutter =
      virtualSerials === null ? handOf(typed, terminal) : shown(virtualCutter(client, options.tool), terminal);
    for await (const serial of serialsToTrim(options, virtualSerials, typed, terminal)) {
      const request = {
        ...{ serial, operator: options.operator, lawId: options.law, batch: options.batch ?? null },
        tool: { id: options.tool, kind: options.toolKind },
      };
      try {
        const piece = await trimOne(client, request, terminal, { guard, cutter });
        results.push(piece);
        codes.push(exitCodeOfPiece(piece));
        terminal.print(`${piece.state.toUpperCase()}  ${piece.serial}\n  ${piece.sentence}`);
      } catch (caught) {
        const error = toErrorData(caught);
        const code = exitCodeFor(error.code);
        if (code === exitCodes.defect || code === exitCodes.archive) throw caught;
        results.push({ serial: serial.slice(0, 200), error });
        codes.push(code);
        terminal.tellOf(error);
      }
      if (guard.interrupted()) break;
    }
  } finally {
    guard.off();
    lines.close();
  }
  if (guard.interrupted()) codes.push(exitCodes.interrupted);
  else if (results.length === 0) {
    throw new UsageError('No serial was given, so nothing was trimmed. Scan one, type one, or give --serial.');
  }
  terminal.printJson(results);
  return Math.max(...codes);
}

/** @returns serials of the virtual batch; null = a rig on a port */
async function takeRig(client: CoreClient, options: TrimOptions): Promise<readonly string[] | null> {
  if (options.port !== undefined) {
    await client.call('rig.connect', { path: options.port });
    return null;
  }
  const { seed, size, law, timeFactor: factor } = options;
  const { serials } = await client.call('virtual.start', {
    ...{ seed, size, lawId: law, finish: 'trimming', faultShare: 0, timeFactor: factor },
  });
  return serials;
}

async function* serialsToTrim(
  { serial }: TrimOptions,
  virtualSerials: readonly string[] | null,
  typed: AsyncIterator<string>,
  terminal: Terminal,
): AsyncGenerator<string> {
  if (serial !== undefined) yield serial;
  else if (virtualSerials !== null) yield* virtualSerials;
  else {
    for (;;) {
      terminal.print('Clamp a raw track, close the guard, then scan or type its serial. An empty line ends.');
      const { value, done } = await typed.next();
      if (done === true || value.trim() === '') return;
      yield value.trim();
    }
  }
}

const cautions =
  'Motor power is off. Carbon dust conducts and harms when inhaled: extraction on, no blowing with compressed air, eyes protected, blade away from fingers. Local rules and qualified persons decide.';

/** A person cuts, and says so with Enter. */
function handOf(typed: AsyncIterator<string>, terminal: Terminal): Cutter {
  return {
    async make(piece, cuts) {
      terminal.tell(`Pass ${piece.pass} of ${piece.passLimit} on ${piece.serial}, from the closed end:`);
      for (const cut of cuts) terminal.tell(cutText(cut));
      terminal.tell(cautions);
      terminal.tell(
        'Make all of these cuts, take the dust away, close the guard, then press Enter. q and Enter gives up.',
      );
      const { value, done } = await typed.next();
      return done !== true && value.trim().toLowerCase() !== 'q';
    },
  };
}

/** Shows what a virtual tool is asked for. */
function shown(cutter: Cutter, terminal: Terminal): Cutter {
  return {
    make(piece, cuts) {
      terminal.print(`${piece.serial}  pass ${piece.pass}: ${cuts.length === 1 ? '1 cut' : `${cuts.length} cuts`}`);
      for (const cut of cuts) terminal.print(cutText(cut));
      return cutter.make(piece, cuts);
    },
  };
}
