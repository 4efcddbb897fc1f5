import { writeFile } from 'node:fs/promises';
import { createInterface } from 'node:readline';
import type { AskedRig } from './command-line.ts';
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
    const madeAt = new Date();
    const dueAt = new Date(madeAt.getTime() + certificateDays * 86_400_000);
    const certificate = host.certificate(madeAt.toISOString(), dueAt.toISOString());
    await writeFile(asked.certificatePath, `${JSON.stringify(certificate, null, 2)}\n`);
  }
  const { size, lot } = host.population;
  console.log(
    `Virtual rig ${host.traits.serial} on ${path} with ${size} faders ${lot.part}, seed ${host.options.seed}.`,
  );
  console.log(`Measure with --port ${path}; type "help" for what you can do at the bench, Ctrl-C ends it.`);
  if (asked.unplugAfterS !== null) setTimeout(() => host.unplug(), asked.unplugAfterS * 1000);
  const input = createInterface({ input: process.stdin });
  input.on('line', (line) => {
    try {
      const said = actForPerson(line, host);
      if (said === null) leave();
      else if (said !== '') console.log(said);
    } catch (error) {
      if (!(error instanceof SideDoorError)) throw error;
      console.log(error.message);
    }
  });
}
