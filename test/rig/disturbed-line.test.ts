import { describe, expect, it } from 'vitest';
import type { Disturbance } from '../../firmware-protocol/virtual-rig/disturbance.ts';
import type { RawReading, VisitOrder } from '../../src/procedure/rig-port.ts';
import { CancelledError } from '../../src/rig/errors.ts';
import { connectRig, type Rig } from '../../src/rig/rig.ts';
import { law } from './bench-law.ts';
import { type Bench, virtualBench } from './benches.ts';

const rough: Partial<Disturbance> = { corruptOneIn: 1000, dropLines: 0.02, duplicateLines: 0.02 };
const VISITS = 250;

const visit = (targetUm: number, approach: 'up' | 'down'): VisitOrder => ({
  targetUm,
  approach,
  speedUmPerS: 200_000,
  accelMmPerS2: 1000,
  jerkMmPerS3: 0,
  dwellUs: 50_000,
  integrationUs: 20_000,
  conversions: 2,
});

/** Targets all over the travel, the same for every line. */
const orders = Array.from({ length: VISITS }, (_, index) =>
  visit(5000 + ((index * 37_000) % 90_000), index % 3 === 0 ? 'down' : 'up'),
);

async function connect(seed: number, disturbance: Partial<Disturbance>): Promise<{ bench: Bench; rig: Rig }> {
  const bench = await virtualBench({ law, seed, disturbance });
  const { clock } = bench;
  const connected = bench.open().then((transport) => connectRig(transport, { clock, random16: () => seed * 1000 }));
  const rig = await bench.run(connected);
  await bench.run(rig.power(true));
  await bench.run(rig.home());
  return { bench, rig };
}

async function end({ bench, rig }: { bench: Bench; rig: Rig }): Promise<void> {
  await rig.close();
  await bench.stop();
}

/** Every order number of a session may have been carried out once only. */
async function expectNothingTwice(bench: Bench): Promise<void> {
  const done = (await bench.side?.executions()) ?? expect.fail('no bench side');
  const names = done.map((order) => `${order.session}/${order.number}`);
  expect(new Set(names).size).toBe(names.length);
}

describe('a line with 1 in 1000 bytes corrupted, lines lost and doubled', () => {
  it.each([1, 2, 3])('gives the values of a clean line and executes nothing twice (seed %i)', async (seed) => {
    const clean = await connect(seed, {});
    const bad = await connect(seed, rough);
    const readings: [RawReading, RawReading][] = [];
    for (const order of orders) {
      readings.push([await clean.bench.run(clean.rig.visit(order)), await bad.bench.run(bad.rig.visit(order))]);
    }
    for (const [expected, actual] of readings) {
      expect(actual.positionUm).toBe(expected.positionUm);
      // Noise, drift and the film wearing in differ from run to run; a mixed-up line would not stay this close.
      const ratio = actual.wiperCounts / actual.trackCounts;
      expect(Math.abs(ratio - expected.wiperCounts / expected.trackCounts)).toBeLessThan(0.002);
    }
    await expectNothingTwice(bad.bench);
    const done = (await bad.bench.side?.executions()) ?? [];
    const visits = done.filter((order) => order.word === 'visit').length;
    const silences = done.filter((order) => order.word === 'power').length - 1;
    expect(visits).toBe(VISITS + silences);
    const statistics = bad.rig.statistics();
    expect(statistics.badLines).toBeGreaterThan(0);
    expect(statistics.retransmissions).toBeGreaterThan(0);
    expect(statistics.duplicatesIgnored).toBeGreaterThan(0);
    expect(clean.rig.statistics()).toMatchObject({ badLines: 0, retransmissions: 0, duplicatesIgnored: 0 });
    await end(clean);
    await end(bad);
  });

  it('costs little time: a lost line is noticed by the heartbeat, not by waiting', async () => {
    const clean = await connect(4, {});
    const bad = await connect(4, rough);
    for (const order of orders.slice(0, 100)) {
      await clean.bench.run(clean.rig.visit(order));
      await bad.bench.run(bad.rig.visit(order));
    }
    // Virtual time, so this is no test of the machine's speed.
    expect(bad.bench.clock.nowMs() / clean.bench.clock.nowMs()).toBeLessThan(1.1);
    await end(clean);
    await end(bad);
  });

  it('cancels motions at any moment and goes on', async () => {
    const { bench, rig } = await connect(5, rough);
    for (let index = 0; index < 60; index += 1) {
      const stop = new AbortController();
      bench.clock.after(index * 12, () => stop.abort());
      const order = visit(index % 2 === 0 ? 95_000 : 5000, 'up');
      const outcome = await bench.run(rig.visit(order, stop.signal).catch((error: unknown) => error));
      if (outcome instanceof Error) {
        expect(outcome).toBeInstanceOf(CancelledError);
        expect((await bench.side?.moment())?.moving).toBe(false);
        await bench.run(rig.power(true));
      }
    }
    await bench.run(rig.visit(visit(50_000, 'up')));
    await expectNothingTwice(bench);
    await end({ bench, rig });
  });

  it('shows the samples that got lost as gaps and counts them', async () => {
    const { bench, rig } = await connect(6, rough);
    const counters: number[] = [];
    const result = await bench.run(
      rig.glide(
        { targetUm: 100_000, speedUmPerS: 40_000, accelMmPerS2: 1000, jerkMmPerS3: 0, samplePeriodUs: 1000 },
        (batch) => counters.push(...batch.map((sample) => sample.counter)),
      ),
    );
    expect(result.samplesReceived).toBe(counters.length);
    expect(result.samplesReceived).toBeLessThan(result.samplesSent);
    expect(new Set(counters).size).toBe(counters.length);
    expect(counters).toEqual(counters.toSorted((a, b) => a - b));
    expect(rig.statistics().samplesMissing).toBe(result.samplesSent - result.samplesReceived);
    await end({ bench, rig });
  });
});
