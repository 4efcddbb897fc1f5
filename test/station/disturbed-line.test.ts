import { afterEach, describe, expect, it } from 'vitest';
import { type InProcessBench, openBench } from './bench-in-process.ts';

const faders = 200;
const seed = 20261125;
const batch = { seed, size: faders, finish: 'delivered', faultShare: 0.3 } as const;
const badLine = { corruptOneIn: 1000, dropLines: 0.005, duplicateLines: 0.005 } as const;

let bench: InProcessBench | null = null;
afterEach(async () => {
  await bench?.close();
  bench = null;
});

async function verdicts(disturbance: object): Promise<{ words: string[]; executedTwice: number; again: number }> {
  bench = await openBench({ ...batch, disturbance });
  const words: string[] = [];
  for (let index = 0; index < faders; index += 1) {
    const { serial, verdict } = await bench.measure(index);
    words.push(`${serial} ${verdict}`);
  }
  const executions = bench.rig.sideDoor.executions();
  const distinct = new Set(executions.map(({ session, number }) => `${session}/${number}`));
  const again = bench.station.rigDesk.rig().statistics().retransmissions;
  await bench.close();
  bench = null;
  return { words, executedTwice: executions.length - distinct.size, again };
}

describe(`a batch of ${faders} faders over a bad line (seed ${seed})`, () => {
  it('gives the verdicts of a clean line, and no order is carried out twice', { timeout: 400_000 }, async () => {
    const clean = await verdicts({});
    const disturbed = await verdicts(badLine);
    expect(disturbed.words).toEqual(clean.words);
    expect(disturbed.executedTwice).toBe(0);
    // The line really was bad.
    expect(disturbed.again).toBeGreaterThan(faders / 2);
  });
});
