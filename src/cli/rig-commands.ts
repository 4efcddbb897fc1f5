/** `rig list`, `rig certificate`, `rig calibrations`. */
import type { Command } from 'commander';
import { shapeInWords } from '../contract/errors.ts';
import { calibration } from '../contract/records.ts';
import { exitCodes } from './exit-codes.ts';
import { shared, shortName } from './options.ts';
import { readNamedFile } from './read-file.ts';
import { UsageError, withCore } from './session.ts';
import { visible } from './terminal.ts';

export function rigCommands(program: Command, finish: (code: number) => void): void {
  const rig = program.command('rig').description('the rig: ports and calibration');

  rig
    .command('list')
    .description('serial ports with vendor and product, and what stands in the way of each')
    .action(async (_options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      finish(
        await withCore(
          archivePath,
          terminal,
          async ({ client }) => {
            const ports = await client.call('rig.ports', {});
            if (ports.length === 0) {
              terminal.print(
                'No serial port found. Plug the rig in and look again, or try without one: faderwright measure --virtual.',
              );
            }
            for (const port of ports) {
              const what = [port.vendor, port.product, port.serial].filter((text) => text !== null).join(', ');
              terminal.print(visible(`${port.path.padEnd(20)} ${what === '' ? 'maker unknown' : what}`));
              if (port.problem !== null) terminal.print(`${' '.repeat(21)}${port.problem}`);
            }
            terminal.printJson(ports);
            return exitCodes.done;
          },
          { beside: true },
        ),
      );
    });

  rig
    .command('certificate <file>')
    .description('keep a calibration certificate (JSON) of a rig; the newest one is the active one')
    .action(async (file: string, _options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      const certificate = await readCertificate(file);
      finish(
        await withCore(
          archivePath,
          terminal,
          async ({ client }) => {
            await client.call('rig.storeCalibration', { calibration: certificate });
            terminal.print(
              `Kept: ${certificate.id} for rig ${certificate.rigSerial}, due ${certificate.dueAt.slice(0, 10)}.`,
            );
            terminal.printJson({ kept: certificate.id });
            return exitCodes.done;
          },
          { beside: true },
        ),
      );
    });

  rig
    .command('calibrations')
    .argument('<rigSerial>', 'as the rig itself reports it', shortName)
    .description('calibration history of a rig, newest first')
    .action(async (rigSerial: string, _options: unknown, command: Command) => {
      const { archivePath, terminal } = shared(command);
      finish(
        await withCore(
          archivePath,
          terminal,
          async ({ client }) => {
            const history = await client.call('rig.calibrations', { rigSerial });
            if (history.length === 0) {
              terminal.print(
                `No calibration of ${visible(rigSerial)} is kept; its results are void until one is: faderwright rig certificate FILE.`,
              );
            }
            for (const one of history) {
              terminal.print(
                `${one.madeAt.slice(0, 10)} to ${one.dueAt.slice(0, 10)}  ${one.id}  ${one.source}, ${one.madeBy}`,
              );
            }
            terminal.printJson(history);
            return exitCodes.done;
          },
          { beside: true },
        ),
      );
    });
}

async function readCertificate(file: string) {
  let raw: unknown;
  try {
    raw = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(await readNamedFile(file)));
  } catch (error) {
    if (error instanceof UsageError) throw error;
    throw new UsageError(
      `${file} is not JSON text, so it is no calibration certificate. Is it the right file? The format is in docs/calibration.md.`,
      { cause: error },
    );
  }
  const checked = calibration.safeParse(raw);
  if (checked.success) return checked.data;
  throw new UsageError(
    `${file} is not a calibration certificate. ${shapeInWords(checked.error)}. The format is in docs/calibration.md.`,
  );
}
