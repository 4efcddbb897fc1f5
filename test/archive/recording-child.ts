/** Records runs into the archive named on the command line until killed; prints the id of each run that is recorded. */
import { writeSync } from 'node:fs';
import { openArchive } from '../../src/archive/open.ts';
import { exampleRun, openingOf } from './example-runs.ts';

const [path = '', first = '0'] = process.argv.slice(2);
const archive = openArchive(path, { programVersion: '0.1.0', now: () => new Date() });
for (let number = Number(first); ; number += 1) {
  const run = exampleRun(number);
  archive.beginRun(openingOf(run));
  archive.recordRun(run);
  // Straight to the pipe: what the parent reads was acknowledged before the kill.
  writeSync(1, `${run.runId}\n`);
}
