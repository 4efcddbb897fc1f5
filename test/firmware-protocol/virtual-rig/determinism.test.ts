import { expect, test } from 'vitest';
import { StationStub } from './station-stub.ts';

async function story(seed: number): Promise<unknown> {
  const station = new StationStub({ seed, faultShare: 0.5, disturbance: { latencyMs: [0.3, 1.2] } });
  await station.ready();
  const readings = [await station.visit(20_000), await station.visit(80_000), await station.visit(40_000, { up: 0 })];
  await station.order('glide', { x: 60_000, v: 50_000, a: 2000, j: 0, e: 1000 });
  return { readings, samples: station.samples, lines: station.lines, moment: station.rig.sideDoor.moment() };
}

test('one seed tells one story to the last count and microsecond, another seed another', async () => {
  expect(await story(77)).toEqual(await story(77));
  expect(await story(78)).not.toEqual(await story(77));
});
