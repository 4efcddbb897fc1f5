/**
 * `npm run bench [-- --seed N] [-- --only overhead,archive]`: the promised figures, measured in one run. Exit code 1 when
 * one is not kept.
 */
import { parseArgs } from 'node:util';
import { defaultParameters } from '../../firmware-protocol/virtual-rig/parameters.ts';
import { parametersTable } from '../../firmware-protocol/virtual-rig/parameters-table.ts';
import { benchArchive } from './archive.ts';
import type { BenchLine } from './line.ts';
import { benchOverhead } from './overhead.ts';
import { benchStartup } from './startup.ts';
import { benchTrim } from './trim.ts';
import { benchWindow } from './window.ts';

const benches: Readonly<Record<string, (seed: number) => Promise<BenchLine[]>>> = {
  overhead: benchOverhead,
  archive: benchArchive,
  startup: benchStartup,
  trim: benchTrim,
  window: benchWindow,
};

const { values } = parseArgs({
  options: {
    seed: { type: 'string', default: '20261125' },
    only: { type: 'string', default: Object.keys(benches).join(',') },
  },
});
const seed = Number(values.seed);
const chosen = values.only.split(',');
const unknown = chosen.filter((name) => !(name in benches));
if (!Number.isSafeInteger(seed) || unknown.length > 0) {
  console.error(`Give a whole number as --seed, and as --only some of: ${Object.keys(benches).join(', ')}.`);
  process.exit(2);
}

console.log(`Virtual rig, seed ${seed}, parameters:\n${parametersTable(defaultParameters)}\n`);
const lines: BenchLine[] = [];
for (const name of chosen) {
  for (const line of (await benches[name]?.(seed)) ?? []) {
    lines.push(line);
    console.log(shown(line));
  }
}
process.exitCode = lines.every(({ ok }) => ok) ? 0 : 1;

function shown({ name, value, unit, bound, ok }: BenchLine): string {
  const figure = `${value.toPrecision(4)} ${unit}`.trim();
  const limit = bound === null ? '' : `  at most ${bound} ${unit}`.trimEnd();
  return `${bound === null ? '     ' : ok ? 'kept ' : 'MISSED'}  ${name}: ${figure}${limit}`;
}
