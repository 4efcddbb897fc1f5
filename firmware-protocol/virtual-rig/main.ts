/** `npm run rig`: a virtual rig on a serial port of its own, until it is ended. */
import { readRigOptions, rigCommandLine } from './command-line.ts';
import { serveParent } from './serve-parent.ts';
import { servePerson } from './serve-person.ts';

if (process.argv.includes('--serve-parent')) serveParent();
else {
  const command = rigCommandLine();
  await command.parseAsync();
  const asked = await readRigOptions(command);
  if (asked) await servePerson(asked);
}
