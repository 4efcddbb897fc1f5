import { writeFile } from 'node:fs/promises';
import { resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { type AskedRig, badArguments } from './command-line.ts';
import { actForPerson } from './person-commands.ts';
import { PtyUnavailableError } from './pty.ts';
import { type ServedRig, servePty } from './serve-pty.ts';
import { SideDoorError } from './side-door.ts';

const noPty = 3;
const certificateDays = 365;

/** Serves a rig for a person at a terminal: says where, then does what is typed. */
export async function servePerson(asked: AskedRig): Promise<void> {
  let rig: ServedRig;
  try {
    rig = await servePty(asked.options);
  } catch (error) {
    if (!(error instanceof PtyUnavailableError)) throw error;
    console.error(error.message);
    process.exitCode = noPty;
    return;
  }
  const { host, path } = rig;
  const leave = (): void => {
    rig.close().finally(() => process.exit(0));
  };
  process.on('SIGINT', leave);
  process.on('SIGTERM', leave);
  if (asked.certificatePath !== null) {
    try {
      await writeCertificate(host, asked.certificatePath);
    } catch (error) {
      console.error(
        `error: the certificate cannot be written: ${error instanceof Error ? error.message : String(error)}`,
      );
      await rig.close();
      process.exit(badArguments);
    }
  }
  const { size, lot } = host.population;
  console.log(
    `Virtual rig ${host.traits.serial} on ${path} with ${size} faders ${lot.part}, seed ${host.options.seed}.`,
  );
  const certificate = asked.certificatePath ?? 'FILE';
  const wish = asked.certificatePath === null ? 'type "certificate FILE" here, then ' : '';
  console.log(
    `Fader ${host.moment().fader?.serial ?? 'none'} is in it. Measure with --port ${path}; results count once its calibration is kept: ${wish}npm run faderwright -- rig certificate ${certificate}. "help" lists what you can do at the bench, Ctrl-C ends it.`,
  );
  if (asked.unplugAfterS !== null) setTimeout(() => host.unplug(), asked.unplugAfterS * 1000);
  /** What was typed last and takes its time. */
  let settled = Promise.resolve();
  const input = createInterface({ input: process.stdin });
  input.on('line', (line) => {
    const file = /^\s*certificate\s+(\S.*?)\s*$/.exec(line)?.[1];
    if (file !== undefined) {
      settled = writeCertificate(host, file).then(console.log, (error: Error) =>
        console.log(`the certificate could not be written (${error.message}); give another file`),
      );
      return;
    }
    try {
      const said = actForPerson(line, host);
      if (said === null) void settled.then(leave);
      else if (said !== '') console.log(said);
    } catch (error) {
      if (!(error instanceof SideDoorError)) throw error;
      console.log(error.message);
    }
  });
}

/** Writes the certificate of this rig, good for a year from now. @returns what was done, in words */
async function writeCertificate(host: ServedRig['host'], file: string): Promise<string> {
  const madeAt = new Date();
  const dueAt = new Date(madeAt.getTime() + certificateDays * 86_400_000);
  const certificate = host.certificate(madeAt.toISOString(), dueAt.toISOString());
  const path = resolve(file);
  await writeFile(path, `${JSON.stringify(certificate, null, 2)}\n`);
  return `certificate of ${host.traits.serial} written to ${path}`;
}
