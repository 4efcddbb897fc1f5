/** Names of virtual ports left behind by rigs that were killed. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, readdir, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { sweepPortNames } from '../../../firmware-protocol/virtual-rig/port-names.ts';

test('only links of processes that are gone are swept away', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'port-names-'));
  onTestFinished(() => rm(folder, { recursive: true }));
  const ended = spawn(process.execPath, ['-e', '']);
  await once(ended, 'close');

  const gone = `faderwright-rig-VR2026-${ended.pid}-1`;
  const alive = `faderwright-rig-VR2026-${process.pid}-1`;
  const noLink = `faderwright-rig-VR2026-${ended.pid}-2`;
  const foreign = `somebody-${ended.pid}-1`;
  for (const name of [gone, alive, foreign]) await symlink('/dev/null', join(folder, name));
  await writeFile(join(folder, noLink), 'kept');

  await sweepPortNames(folder);
  expect((await readdir(folder)).toSorted()).toEqual([alive, noLink, foreign].toSorted());

  // A folder that is not there is nothing to sweep.
  await sweepPortNames(join(folder, 'nowhere'));
});
