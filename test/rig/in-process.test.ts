import { expect, it } from 'vitest';
import { connectRig } from '../../src/rig/rig.ts';
import { law } from './bench-law.ts';
import { virtualBench } from './benches.ts';
import { describeRig } from './rig-suite.ts';

describeRig('in this process', () => virtualBench({ law }), true);
describeRig('in this process behind a slow line', () => virtualBench({ law, disturbance: { baud: 115_200 } }), true);

it('does not repeat an order whose answer queues behind its samples on a slow line', async () => {
  const bench = await virtualBench({ law, disturbance: { baud: 115_200 } });
  const { clock } = bench;
  const connected = bench.open().then((transport) => connectRig(transport, { clock, random16: () => 9 }));
  const rig = await bench.run(connected);
  await bench.run(rig.power(true));
  await bench.run(rig.home());
  const motion = { targetUm: 60_000, speedUmPerS: 40_000, accelMmPerS2: 1000, jerkMmPerS3: 0 };
  const samplePeriodUs = rig.limits.samplePeriodMinUs;
  const result = await bench.run(rig.glide({ ...motion, samplePeriodUs }, () => {}));
  expect(result.samplesReceived).toBe(result.samplesSent);
  expect(rig.statistics()).toMatchObject({ samplesMissing: 0, retransmissions: 0 });
  await rig.close();
  await bench.stop();
});
