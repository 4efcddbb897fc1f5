import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { Command, InvalidArgumentError, Option } from 'commander';
import { type FaultKind, isFaultKind } from '../../src/fader/faults.ts';
import type { Finish } from '../../src/fader/parameters.ts';
import { lawFrom, RigLawFileError } from './law-file.ts';
import { completeOptions, type RigOptions } from './options.ts';
import { ParameterFileError, readParameterFile } from './parameter-file.ts';
import { defaultParameters } from './parameters.ts';
import { parametersTable } from './parameters-table.ts';
import { faderFaults, makePopulation } from './population.ts';

export const badArguments = 2;

function whole(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new InvalidArgumentError('Give a whole number, 0 or more.');
  return Number(text);
}

function share(text: string): number {
  const value = Number(text);
  if (!/^\d+(\.\d+)?$/.test(text) || value > 1) throw new InvalidArgumentError('Give a share from 0 to 1, e.g. 0.15.');
  return value;
}

function factor(text: string): number {
  const value = Number(text);
  if (!/^\d+(\.\d+)?$/.test(text) || !(value > 0)) throw new InvalidArgumentError('Give a number above 0.');
  return value;
}

function kinds(text: string): FaultKind[] {
  if (text === 'none') return [];
  return text.split(',').map((one) => {
    const kind = Number(one);
    if (!isFaultKind(kind)) throw new InvalidArgumentError('Give fault numbers 1 to 14 with commas, or "none".');
    return kind;
  });
}

interface RigArguments {
  readonly law: string;
  readonly seed: number;
  readonly size: number;
  readonly finish: Finish;
  readonly faultShare: number;
  readonly faults: FaultKind[];
  readonly timeFactor: number;
  readonly autoNext: boolean;
  readonly parameters?: string;
  readonly showParameters: boolean;
  readonly certificate?: string;
  readonly baud?: number;
  readonly corruptOneIn: number;
  readonly dropLines: number;
  readonly duplicateLines: number;
  readonly delayLines: number;
  readonly delayMs: number;
  readonly unplugAfter?: number;
}

export interface AskedRig {
  readonly options: RigOptions;
  /** Where to write the calibration certificate; null = nowhere. */
  readonly certificatePath: string | null;
  /** Pull the plug after so many seconds; null = never. */
  readonly unplugAfterS: number | null;
}

const defaultLaw = fileURLToPath(new URL('../../src/law/examples/PF-104.json', import.meta.url));

export function rigCommandLine(): Command {
  return new Command('rig')
    .description('a virtual rig with a batch of faders, on a serial port of its own')
    .option('--law <file>', 'law file (JSON) the faders are printed for', defaultLaw)
    .option('--seed <number>', 'seed of everything random', whole, 2026)
    .option('--size <number>', 'faders in the batch', whole, 24)
    .addOption(
      new Option('--finish <finish>', 'trimmed, as printed, or printed for trimming')
        .choices(['delivered', 'raw', 'trimming'])
        .default('delivered'),
    )
    .option('--fault-share <share>', 'share of faders with one seeded fault', share, 0)
    .option('--faults <numbers>', 'which faults may be seeded, e.g. 1,5,11 (see docs/virtual-rig.md)', kinds, [
      ...faderFaults,
    ])
    .option('--time-factor <factor>', 'mechanics and meter so many times faster than life', factor, 1)
    .option('--auto-next', 'after parking, a virtual operator puts the next fader in', false)
    .option('--parameters <file>', 'numbers (JSON) that replace the default ones')
    .option('--show-parameters', 'print all numbers and end', false)
    .option('--certificate <file>', 'write the calibration certificate of this rig there')
    .option('--baud <rate>', 'pace the line, e.g. 115200; without it as fast as USB', whole)
    .option('--corrupt-one-in <bytes>', 'one byte in so many is wrong; 0 = none', whole, 0)
    .option('--drop-lines <share>', 'share of lines lost', share, 0)
    .option('--duplicate-lines <share>', 'share of lines that come twice', share, 0)
    .option('--delay-lines <share>', 'share of lines held up', share, 0)
    .option('--delay-ms <ms>', 'how long they are held up', whole, 100)
    .option('--unplug-after <seconds>', 'pull the plug after so many seconds', factor)
    .exitOverride((stop) => process.exit(stop.exitCode === 0 ? 0 : badArguments))
    .action(() => undefined);
}

/** Reads the files the arguments name. Null = nothing is to be served. Ends the process with code 2 on bad ones. */
export async function readRigOptions(command: Command): Promise<AskedRig | null> {
  const args = command.opts<RigArguments>();
  try {
    const parameters = args.parameters ? readParameterFile(args.parameters) : defaultParameters;
    if (args.showParameters) {
      console.log(parametersTable(parameters));
      return null;
    }
    const options: RigOptions = {
      law: lawFrom(await readFile(args.law, 'utf8'), args.law),
      seed: args.seed,
      size: args.size,
      finish: args.finish,
      faultShare: args.faultShare,
      faults: args.faults,
      timeFactor: args.timeFactor,
      autoNext: args.autoNext,
      parameters,
      disturbance: {
        corruptOneIn: args.corruptOneIn,
        dropLines: args.dropLines,
        duplicateLines: args.duplicateLines,
        delayLines: args.delayLines,
        delayMs: args.delayMs,
        baud: args.baud ?? null,
      },
    };
    // Made once to see that it can be: too few points, a size of nothing.
    makePopulation(completeOptions(options), parameters);
    return { options, certificatePath: args.certificate ?? null, unplugAfterS: args.unplugAfter ?? null };
  } catch (error) {
    const expected =
      error instanceof RangeError ||
      error instanceof RigLawFileError ||
      error instanceof ParameterFileError ||
      (error instanceof Error && 'code' in error && 'path' in error);
    if (!expected) throw error;
    console.error(`error: ${error.message}`);
    process.exit(badArguments);
  }
}
