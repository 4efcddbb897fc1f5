import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { RawSample, RigEvent, VisitOrder } from '../../src/procedure/rig-port.ts';
import { CancelledError, LineLostError } from '../../src/rig/errors.ts';
import { type RigState, RigSupervisor } from '../../src/rig/reconnect.ts';
import { connectRig, type Rig } from '../../src/rig/rig.ts';
import type { Bench, BenchSide } from './benches.ts';

const visit: VisitOrder = {
  targetUm: 40_000,
  speedUmPerS: 200_000,
  accelMmPerS2: 1000,
  jerkMmPerS3: 0,
  approach: 'up',
  dwellUs: 100_000,
  integrationUs: 20_000,
  conversions: 3,
};
const slow = { ...visit, targetUm: 90_000, speedUmPerS: 20_000 };

export const random16 = (): number => Math.floor(Math.random() * 65_536);

/** What must hold for every rig on every kind of line; the parts that need a hand at the bench only where there is one. */
export function describeRig(name: string, makeBench: () => Promise<Bench>, hasBenchSide: boolean): void {
  describe(`a rig ${name}`, () => {
    let bench: Bench;
    let rig: Rig;
    let events: RigEvent[];

    beforeEach(async () => {
      bench = await makeBench();
      const { clock } = bench;
      rig = await bench.run(bench.open().then((transport) => connectRig(transport, { clock, random16 })));
      events = [];
      rig.onEvent((event) => events.push(event));
    });

    afterEach(async () => {
      if (rig.lost === null) {
        await bench.run(rig.halt());
        await bench.run(rig.power(false));
      }
      await rig.close();
      await bench.stop();
    });

    const ready = async (): Promise<void> => {
      await bench.run(rig.power(true));
      await bench.run(rig.home());
    };

    it('says who it is and what it can do', () => {
      expect(rig.identity.protocol).toBe(1);
      expect(rig.identity.serial).not.toBe('');
      expect(rig.limits.travelMaxUm).toBeGreaterThan(rig.limits.travelMinUm);
      expect(rig.limits.watchdogUs).toBeGreaterThan(0);
    });

    it('homes, visits from both sides and reads', async () => {
      await ready();
      expect((await bench.run(rig.status())).motion).toBe('still');
      const up = await bench.run(rig.visit(visit));
      const down = await bench.run(rig.visit({ ...visit, approach: 'down' }));
      const stepUm = 1000 / rig.limits.stepsPerMm;
      for (const reading of [up, down]) {
        expect(Math.abs(reading.positionUm - visit.targetUm)).toBeLessThanOrEqual(stepUm);
        expect(reading.conversions).toBe(3);
        expect(reading.overRange).toBe(false);
        expect(reading.trackCounts).toBeGreaterThan(reading.wiperCounts);
        expect(reading.wiperSdCounts).not.toBeNull();
      }
      expect(down.rigClockUs).toBeGreaterThan(up.rigClockUs);
      expect((await bench.run(rig.ohms({ integrationUs: 20_000, conversions: 1 }))).wiperSdCounts).toBeNull();
      expect((await bench.run(rig.park())).motion).toBe('unpowered');
      expect(rig.statistics()).toMatchObject({ badLines: 0, samplesMissing: 0 });
    });

    it('streams a glide at its fastest rate without a gap', async () => {
      await ready();
      const samples: RawSample[] = [];
      const samplePeriodUs = rig.limits.samplePeriodMinUs;
      const result = await bench.run(
        rig.glide({ ...visit, speedUmPerS: 40_000, samplePeriodUs }, (batch) => samples.push(...batch)),
      );
      expect(result.samplesReceived).toBe(result.samplesSent);
      expect(samples.map((sample) => sample.counter)).toEqual(samples.map((_, index) => index));
      const spanUs = (samples.at(-1)?.rigClockUs ?? 0) - (samples[0]?.rigClockUs ?? 0);
      expect(spanUs / samplePeriodUs).toBeCloseTo(samples.length - 1, -1);
      expect(samples.at(-1)?.positionUm).toBeGreaterThan(39_000);
      expect(rig.statistics()).toMatchObject({ samplesMissing: 0, badLines: 0 });
    });

    it('stands still when a motion was cancelled, and goes on after power on', async () => {
      await ready();
      const stop = new AbortController();
      bench.clock.after(700, () => stop.abort());
      await expect(bench.run(rig.visit(slow, stop.signal))).rejects.toBeInstanceOf(CancelledError);
      const standing = await bench.run(rig.status());
      expect(standing.motion).toBe('stopped');
      expect(standing.positionUm).toBeGreaterThan(1000);
      expect(standing.positionUm).toBeLessThan(slow.targetUm);
      await bench.wait(100);
      expect((await bench.run(rig.status())).positionUm).toBe(standing.positionUm);
      await bench.run(rig.power(true));
      expect((await bench.run(rig.visit(visit))).overRange).toBe(false);
    });

    it('halts from beside a motion that another caller waits for', async () => {
      await ready();
      const motion = rig.visit(slow).catch((error: unknown) => error);
      await bench.wait(500);
      const halted = await bench.run(rig.halt());
      expect(halted.motion).not.toBe('moving');
      expect(await bench.run(motion)).toMatchObject({ code: 'refused', refusal: 'halted' });
    });

    it('survives sitting still with power on', async () => {
      await ready();
      await bench.wait(1500);
      expect((await bench.run(rig.status())).motion).toBe('still');
      expect(events).toEqual([]);
    });

    if (hasBenchSide) describeBenchSide(() => ({ bench, rig, events, side: required(bench.side), ready }));
  });
}

const required = (side: BenchSide | null): BenchSide => side ?? expect.fail('this bench has nobody at its side');

function describeBenchSide(
  now: () => {
    readonly bench: Bench;
    readonly rig: Rig;
    readonly events: readonly RigEvent[];
    readonly side: BenchSide;
    readonly ready: () => Promise<void>;
  },
): void {
  it('ends a motion when the guard is opened, and refuses the next one here', async () => {
    const { bench, rig, side, events, ready } = now();
    await ready();
    bench.clock.after(400, () => void side.setGuard(false));
    await expect(bench.run(rig.visit(slow))).rejects.toMatchObject({ code: 'refused', refusal: 'guard' });
    expect(events[0]).toMatchObject({ kind: 'interlocks', interlocks: { guardClosed: false } });
    await expect(bench.run(rig.visit(slow))).rejects.toMatchObject({ refusal: 'guard' });
    expect((await side.executions()).filter((order) => order.word === 'visit')).toHaveLength(1);
  });

  it('loses the line in mid-move: the call ends at once, the carriage stands within the watchdog, and work goes on', async () => {
    const { bench, rig, side, ready } = now();
    await ready();
    await rig.close();
    const supervisor = new RigSupervisor({ open: () => bench.open(), clock: bench.clock, random16 });
    const states: RigState['kind'][] = [];
    const heard: RigEvent['kind'][] = [];
    supervisor.onState((state) => states.push(state.kind));
    supervisor.onEvent((event) => heard.push(event.kind));
    supervisor.start();
    const first = await bench.run(supervisor.whenReady());
    await bench.run(first.power(true));
    await bench.run(first.home());
    const motion = first.visit(slow).catch((error: unknown) => error);
    await bench.wait(800);
    expect((await side.moment()).moving).toBe(true);
    await side.unplug();
    expect(await bench.run(motion)).toBeInstanceOf(LineLostError);
    await bench.wait(500);
    const after = await side.moment();
    expect(after.moving).toBe(false);
    expect(after.restUs - after.lastLineUs).toBeLessThanOrEqual(rig.limits.watchdogUs);
    expect(after.positionUm).toBeLessThan(slow.targetUm);

    await side.plug();
    const second = await bench.run(supervisor.whenReady());
    expect(second).not.toBe(first);
    expect(second.identity).toEqual(first.identity);
    await bench.run(second.power(true));
    await bench.run(second.home());
    expect((await bench.run(second.visit(visit))).overRange).toBe(false);
    expect(heard).toEqual(expect.arrayContaining(['lineLost', 'lineBack']));
    expect(states.slice(0, 3)).toEqual(['connecting', 'ready', 'lost']);
    expect(states.at(-1)).toBe('ready');
    await bench.run(supervisor.stop());
    expect(supervisor.state.kind).toBe('stopped');
  });

  it('ends the session when the rig restarts', async () => {
    const { bench, rig, side, events, ready } = now();
    await ready();
    const motion = rig.visit(slow).catch((error: unknown) => error);
    await bench.wait(300);
    await side.restart();
    expect(await bench.run(motion)).toBeInstanceOf(LineLostError);
    expect(events.map((event) => event.kind)).toEqual(['restarted', 'lineLost']);
  });
}
