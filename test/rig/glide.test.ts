import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ClockUnwrap, encodeGlideEnd, formatSample, type WireSample } from '../../firmware-protocol/codec/index.ts';
import { VirtualClock } from '../../firmware-protocol/virtual-rig/virtual-clock.ts';
import type { GlideOrder, RawSample } from '../../src/procedure/rig-port.ts';
import { CancelledError } from '../../src/rig/errors.ts';
import { SampleCollector } from '../../src/rig/glide.ts';
import { connectRig, type Rig } from '../../src/rig/rig.ts';
import { overDuplex } from '../../src/rig/transport.ts';
import { ScriptedRig } from './scripted-rig.ts';

const order: GlideOrder = {
  targetUm: 100_000,
  speedUmPerS: 20_000,
  accelMmPerS2: 2000,
  jerkMmPerS3: 0,
  samplePeriodUs: 100,
};

const sampleAt = (counter: number): WireSample => ({
  counter: counter % 65_536,
  positionUm: counter,
  clockUs: (4_294_960_000 + counter * 100) % 4_294_967_296,
  wiperCounts: counter * 2,
});

/** A rig that answers a glide with the given sample counters, then says how many it sent. */
async function connect(counters: readonly number[], sent: number): Promise<{ rig: Rig; clock: VirtualClock }> {
  const clock = new VirtualClock();
  const fake = new ScriptedRig(clock, (line, self) => {
    if (line.word !== 'glide') return 'default';
    self.accept(line);
    self.sendText(counters.map((counter) => formatSample(sampleAt(counter))).join(''));
    self.answer(line, encodeGlideEnd({ positionUm: 100_000, clockUs: 0, samplesSent: sent, trackMean: 8_000_000 }));
    return 'handled';
  });
  return { clock, rig: await clock.runUntil(connectRig(overDuplex(fake.stationSide), { clock, random16: () => 1 })) };
}

describe('a glide', () => {
  it('hands every sample on once, in batches, counters and clock made whole', async () => {
    const counters = Array.from({ length: 70_000 }, (_, index) => index);
    const { rig, clock } = await connect(counters, counters.length);
    const samples: RawSample[] = [];
    let batches = 0;
    const result = await clock.runUntil(
      rig.glide(order, (batch) => {
        batches += 1;
        samples.push(...batch);
      }),
    );
    expect(result).toMatchObject({ samplesSent: 70_000, samplesReceived: 70_000, trackCounts: 8_000_000 });
    expect(samples.map((sample) => sample.counter)).toEqual(counters);
    const first = samples[0]?.rigClockUs ?? Number.NaN;
    expect((samples.at(-1)?.rigClockUs ?? Number.NaN) - first).toBe(69_999 * 100);
    expect(batches).toBeLessThan(1000);
    await rig.close();
  });

  it('shows gaps as jumps of the counter and counts them, also at the end', async () => {
    const { rig, clock } = await connect([0, 1, 1, 4, 5], 8);
    const samples: RawSample[] = [];
    const result = await clock.runUntil(rig.glide(order, (batch) => samples.push(...batch)));
    expect(samples.map((sample) => sample.counter)).toEqual([0, 1, 4, 5]);
    expect(result).toMatchObject({ samplesSent: 8, samplesReceived: 4 });
    expect(rig.statistics()).toMatchObject({ samplesMissing: 4, duplicatesIgnored: 1 });
    await rig.close();
  });

  it('rejects with the error of a receiver that throws, not with a cancellation', async () => {
    const { rig, clock } = await connect([0, 1, 2], 3);
    const failing = rig.glide(order, () => {
      throw new TypeError('no room');
    });
    await expect(clock.runUntil(failing)).rejects.toBeInstanceOf(TypeError);
    await rig.close();
  });

  it('delivers what came before it was cancelled', async () => {
    const clock = new VirtualClock();
    const fake = new ScriptedRig(clock, (line, self) => {
      if (line.word !== 'glide') return 'default';
      if (self.status.lastOrder === line.number) self.refuse(line, 'halted');
      self.accept(line);
      self.status = { ...self.status, motion: 'moving' };
      self.sendText(formatSample(sampleAt(0)));
      return 'handled';
    });
    const rig = await clock.runUntil(connectRig(overDuplex(fake.stationSide), { clock, random16: () => 1 }));
    const stop = new AbortController();
    clock.after(15, () => stop.abort());
    clock.after(60, () => {
      fake.status = { ...fake.status, motion: 'stopped' };
    });
    const samples: RawSample[] = [];
    const glide = rig.glide(order, (batch) => samples.push(...batch), stop.signal);
    await expect(clock.runUntil(glide)).rejects.toBeInstanceOf(CancelledError);
    expect(samples).toHaveLength(1);
    await rig.close();
  });
});

describe('the sample collector', () => {
  it('recovers the counters whatever is lost or doubled, as long as a gap stays under half a turn', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ gap: fc.integer({ min: 1, max: 32_768 }), copies: fc.integer({ min: 1, max: 3 }) })),
        (steps) => {
          const delivered: number[] = [];
          let duplicates = 0;
          let missing = 0;
          const collector = new SampleCollector({
            clock: new VirtualClock(),
            rigClock: new ClockUnwrap(),
            deliver: (batch) => delivered.push(...batch.map((sample) => sample.counter)),
            onDuplicate: () => duplicates++,
            onMissing: (count) => {
              missing += count;
            },
          });
          const expected: number[] = [];
          let counter = -1;
          let copies = 0;
          for (const step of steps) {
            counter += step.gap;
            expected.push(counter);
            copies += step.copies - 1;
            for (let copy = 0; copy < step.copies; copy += 1) collector.take(sampleAt(counter));
          }
          collector.end(counter + 1);
          expect(delivered).toEqual(expected);
          expect(duplicates).toBe(copies);
          expect(missing).toBe(counter + 1 - expected.length);
        },
      ),
    );
  });
});
