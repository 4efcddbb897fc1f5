import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatLine } from '../../../firmware-protocol/codec/index.ts';
import { StationStub } from './station-stub.ts';

const far = { x: 105_000, v: 200_000, a: 2000, j: 20_000, up: 1, w: 0, t: 20_000, n: 1 };

describe('a station that falls silent', () => {
  test('finds the carriage still within 250 ms of the last line, at every speed and moment', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 500, max: 200_000 }),
        fc.integer({ min: 100, max: 2000 }),
        fc.constantFrom(0, 5000, 20_000),
        fc.integer({ min: 0, max: 700 }),
        async (v, a, j, runMs) => {
          const station = new StationStub();
          await station.ready();
          const { answer } = station.begin('visit', { ...far, v, a, j });
          await station.clock.advance(runMs);
          const wasMoving = station.rig.sideDoor.moment().moving;
          station.silence();
          await station.clock.advance(300);
          const moment = station.rig.sideDoor.moment();
          if (!wasMoving) return;
          expect(moment.moving).toBe(false);
          expect(moment.restUs - moment.lastLineUs).toBeLessThanOrEqual(250_000);
          // A motion that was over before the deadline ends as ordered; all others are refused as silent.
          const line = await station.clock.runUntil(answer);
          if (line.kind === 'refusal') expect(line.word).toBe('silent');
          else expect(line.fields.x).toBe(105_000);
          station.rig.close();
        },
      ),
      { numRuns: 60 },
    );
  });

  test('cannot go on by accident: motion is locked until power on=1 says so', async () => {
    const station = new StationStub();
    await station.ready();
    const { answer } = station.begin('visit', far);
    station.silence();
    const line = await station.clock.runUntil(answer);
    expect(line.word).toBe('silent');
    await station.clock.advance(5);
    expect(station.events.at(-1)?.word).toBe('silent');
    expect((await station.order('visit', far)).word).toBe('silent');
    expect((await station.order('power', { on: 1 })).fields).toMatchObject({ m: 2 });
    expect(station.rig.sideDoor.moment().homed).toBe(true);
  });

  test('is heard again by any valid line, but not by garbage', async () => {
    const station = new StationStub();
    await station.ready();
    station.silence();
    const { answer } = station.begin('visit', far);
    for (let i = 0; i < 10; i++) {
      await station.clock.advance(40);
      station.send('~0001 beat 0000\n');
      station.send(formatLine({ kind: 'answer', number: 1 }));
    }
    expect((await station.clock.runUntil(answer)).word).toBe('silent');
  });

  test('at a time factor keeps the same rule of silence on the clock of the line', async () => {
    const station = new StationStub({ timeFactor: 5 });
    await station.ready();
    const { answer } = station.begin('visit', { ...far, v: 10_000 });
    await station.clock.advance(100);
    station.silence();
    const silentFrom = station.clock.nowMs();
    expect((await station.clock.runUntil(answer)).word).toBe('silent');
    expect(station.clock.nowMs() - silentFrom).toBeLessThan(250);
    expect(station.clock.nowMs() - silentFrom).toBeGreaterThan(200);
  });
});

describe('a pulled plug in mid-move', () => {
  test('leaves the carriage still within 250 ms of rig clock, and a new session goes on from there', async () => {
    const station = new StationStub();
    await station.ready();
    station.begin('visit', far);
    await station.clock.advance(300);
    expect(station.rig.sideDoor.moment().moving).toBe(true);
    station.rig.sideDoor.unplug();
    await station.clock.advance(400);
    const moment = station.rig.sideDoor.moment();
    expect(moment.moving).toBe(false);
    expect(moment.restUs - moment.lastLineUs).toBeLessThanOrEqual(250_000);
    station.rig.sideDoor.plug();
    station.listen();
    expect((await station.order('hello', { v: 1 })).kind).toBe('answer');
    expect((await station.express('beat')).fields).toMatchObject({ m: 4, x: Math.round(moment.positionUm) });
  });
});

describe('halt', () => {
  test('brakes with the full acceleration, ends the order and locks motion', async () => {
    const station = new StationStub();
    await station.ready();
    const { answer } = station.begin('visit', { ...far, a: 200, j: 0, v: 100_000 });
    await station.clock.advance(550);
    const before = station.rig.sideDoor.moment();
    expect((await station.express('halt')).fields).toMatchObject({ m: 3 });
    expect((await station.express('halt')).fields).toMatchObject({ m: 3 });
    expect((await station.clock.runUntil(answer)).word).toBe('halted');
    const after = station.rig.sideDoor.moment();
    // v^2 / 2a, with a of 2 m/s2, plus up to three ms of latency.
    const brakeUm = before.speedUmPerS ** 2 / (2 * 2_000_000);
    expect(after.positionUm - before.positionUm).toBeLessThan(brakeUm + 0.004 * before.speedUmPerS + 13);
    expect(after.positionUm - before.positionUm).toBeGreaterThan(brakeUm - 13);
    expect((await station.order('visit', far)).word).toBe('halted');
  });

  test('of a reading ends it at once', async () => {
    const station = new StationStub();
    await station.ready();
    const { answer } = station.begin('sense', { t: 1_000_000, n: 50 });
    await station.clock.advance(10);
    await station.express('halt');
    expect((await station.clock.runUntil(answer)).word).toBe('halted');
  });
});

describe('interlocks in motion', () => {
  test.each([
    ['guard', (s: StationStub) => s.rig.sideDoor.setGuard(false)],
    ['clamp', (s: StationStub) => s.rig.sideDoor.setClamp(false)],
    ['estop', (s: StationStub) => s.rig.sideDoor.setEmergencyStop(false)],
  ] as const)('an opened %s ends the motion and says so', async (word, open) => {
    const station = new StationStub();
    await station.ready();
    const { answer } = station.begin('visit', far);
    await station.clock.advance(200);
    open(station);
    expect((await station.clock.runUntil(answer)).word).toBe(word);
    await station.clock.advance(150);
    const moment = station.rig.sideDoor.moment();
    expect(moment.moving).toBe(false);
    expect(moment.positionUm).toBeLessThan(60_000);
    expect(moment.powered).toBe(word !== 'estop');
  });

  test('a new hello ends the motion of the old session without an answer', async () => {
    const station = new StationStub();
    await station.ready();
    const { number } = station.begin('visit', far);
    await station.clock.advance(200);
    await station.order('hello', { v: 1 });
    await station.clock.advance(500);
    expect(station.lines.filter((l) => l.number === number)).toEqual([]);
    expect((await station.express('beat')).fields).toMatchObject({ m: 4 });
    expect((await station.order('visit', far)).word).toBe('halted');
  });

  test('an order given while a dropped motion still brakes waits for standstill', async () => {
    const station = new StationStub();
    await station.ready();
    station.begin('visit', far);
    await station.clock.advance(300);
    await station.order('hello', { v: 1 });
    await station.order('power', { on: 1 });
    expect((await station.order('home')).fields).toMatchObject({ x: 0, m: 2 });
  });
});

describe('a fork that meets the end of a shorter fader', () => {
  test('stalls: position lost, motion locked, event and refusal', async () => {
    const law = { id: 'GF-60', travelMm: 60, nominalOhm: 10_000, interpolation: 'dbLinear' as const };
    const points = [
      { travelMm: 6, lossDb: 70 },
      { travelMm: 58, lossDb: 0.3 },
    ];
    const station = new StationStub({ law: { ...law, points } });
    await station.ready();
    expect((await station.order('visit', far)).word).toBe('stalled');
    expect(station.events.at(-1)?.word).toBe('stall');
    expect((await station.express('beat')).fields).toMatchObject({ m: 4 });
    expect((await station.order('power', { on: 1 })).fields).toMatchObject({ m: 1 });
    await station.order('home');
    expect((await station.visit(50_000)).positionUm).toBe(50_000);
  });
});
