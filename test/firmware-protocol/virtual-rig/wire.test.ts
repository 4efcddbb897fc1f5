import { describe, expect, test } from 'vitest';
import { decodeLimits, formatLine, type WireLine } from '../../../firmware-protocol/codec/index.ts';
import { StationStub } from './station-stub.ts';

const visit = { x: 50_000, v: 200_000, a: 2000, j: 0, up: 1, w: 0, t: 20_000, n: 1 };

describe('a session with the virtual rig', () => {
  test('begins with events that it is awake, once every half second, until it is greeted', async () => {
    const station = new StationStub();
    await station.clock.advance(1700);
    // The first was said before the cable was in.
    expect(station.events.map((e) => [e.word, e.number])).toEqual([
      ['awake', 1],
      ['awake', 2],
      ['awake', 3],
    ]);
    await station.order('hello', { v: 1 });
    await station.clock.advance(1700);
    expect(station.events).toHaveLength(3);
  });

  test('tells who it is, that it is a simulation, and its limits page by page', async () => {
    const station = new StationStub();
    const hello = await station.order('hello', { v: 1 });
    expect(hello.fields).toMatchObject({ v: 1, lo: 1, hi: 1, sim: 1 });
    expect(hello.texts).toMatchObject({ rig: 'bench-1' });
    const pages: Record<string, number>[] = [];
    for (let page = 0, more = 1; more === 1; page++) {
      const { fields } = await station.order('limits', { page });
      pages.push({ ...fields });
      more = fields.more ?? 0;
    }
    expect(decodeLimits(pages)).toMatchObject({ stepsPerMm: 80, watchdogUs: 250_000, fullScaleCounts: 8_388_608 });
    expect(await station.order('limits', { page: 99 })).toMatchObject({ word: 'range', texts: { at: 'page' } });
  });

  test('refuses another version and stays as it was', async () => {
    const station = new StationStub();
    expect(await station.order('hello', { v: 7 })).toMatchObject({ word: 'version', fields: { lo: 1, hi: 1 } });
    expect(await station.order('power', { on: 1 })).toMatchObject({ word: 'asleep' });
  });

  test('refuses in the order of the protocol: power, home, interlocks, target', async () => {
    const station = new StationStub();
    const door = station.rig.sideDoor;
    await station.order('hello', { v: 1 });
    const word = async (name: string, fields: Record<string, number> = {}): Promise<WireLine['word']> =>
      (await station.order(name, fields)).word;
    expect(await word('visit', visit)).toBe('unpowered');
    door.setEmergencyStop(false);
    expect(await word('visit', visit)).toBe('estop');
    expect(await word('power', { on: 1 })).toBe('estop');
    door.setEmergencyStop(true);
    await station.order('power', { on: 1 });
    expect(await word('visit', visit)).toBe('unhomed');
    await station.order('home');
    door.setGuard(false);
    door.setClamp(false);
    expect(await word('visit', visit)).toBe('guard');
    door.setGuard(true);
    expect(await word('visit', visit)).toBe('clamp');
    door.setClamp(true);
    expect(await word('visit', { ...visit, x: 200_000 })).toBe('travel');
    expect(await station.order('visit', { ...visit, v: 300_000 })).toMatchObject({ word: 'range', texts: { at: 'v' } });
    expect(await station.order('visit', { ...visit, zz: 1 })).toMatchObject({ word: 'field', texts: { at: 'zz' } });
    expect(await word('juggle')).toBe('word');
  });

  test('moves to the nearest step and reads there', async () => {
    const station = new StationStub();
    await station.ready();
    const reading = await station.visit(50_003);
    expect(reading.positionUm).toBe(50_000);
    expect(reading.conversions).toBe(4);
    expect(reading.overRange).toBe(false);
    expect(station.rig.sideDoor.moment()).toMatchObject({ positionUm: 50_000, moving: false, homed: true });
  });

  test('a creep may go with the guard open, but slowly', async () => {
    const station = new StationStub();
    await station.ready();
    station.rig.sideDoor.setGuard(false);
    expect(await station.order('creep', { x: 5000, v: 20_001 })).toMatchObject({ word: 'range', texts: { at: 'v' } });
    expect(await station.order('creep', { x: 5000, v: 20_000 })).toMatchObject({ kind: 'answer', fields: { x: 5000 } });
  });

  test('parking goes to the loading position, cuts motor power, and the virtual operator changes the fader', async () => {
    const station = new StationStub({ autoNext: true, size: 2 });
    await station.ready();
    await station.visit(50_000);
    expect(await station.order('park')).toMatchObject({ fields: { x: 1000, m: 0 } });
    await station.clock.advance(400);
    expect(station.rig.sideDoor.moment().fader?.serial).toBe('PF104-26-48-00002');
    expect(station.events.filter((e) => e.word === 'locks')).toHaveLength(4);
    expect(station.events.at(-1)?.fields).toEqual({ g: 1, e: 1, p: 1 });
  });
});

describe('at most once', () => {
  test('an order that comes twice is executed once; the copy is answered with "working" or the same line', async () => {
    const station = new StationStub();
    await station.ready();
    const { number } = await station.order('visit', visit, 3);
    expect(station.lines.filter((l) => l.kind === 'working' && l.number === number).length).toBe(2);
    station.send(formatLine({ kind: 'order', number, word: 'visit', fields: visit }));
    await station.clock.advance(5);
    const answers = station.lines.filter((l) => l.kind === 'answer' && l.number === number);
    expect(answers).toHaveLength(2);
    expect(answers[1]).toEqual(answers[0]);
    expect(station.rig.sideDoor.executions().filter((e) => e.number === number)).toHaveLength(1);
  });

  test('a line that doubles half of everything executes nothing twice', async () => {
    const station = new StationStub({ disturbance: { duplicateLines: 0.5 } });
    await station.ready();
    for (let i = 0; i < 20; i++) await station.visit(10_000 + 4000 * i, { w: 0, n: 1 });
    const keys = station.rig.sideDoor.executions().map((e) => `${e.session}:${e.number}`);
    expect(new Set(keys).size).toBe(keys.length);
    expect(keys).toHaveLength(22);
  });

  test('an order out of turn or beside another is refused and leaves no trace', async () => {
    const station = new StationStub();
    await station.ready();
    const { answer, number } = station.begin('visit', visit);
    await station.clock.advance(10);
    station.send(formatLine({ kind: 'order', number: number + 1, word: 'power', fields: { on: 0 } }));
    station.send(formatLine({ kind: 'order', number: number + 7, word: 'power', fields: { on: 0 } }));
    await station.clock.advance(10);
    expect(station.lines.filter((l) => l.kind === 'refusal').map((l) => l.word)).toEqual(['busy', 'turn']);
    expect((await station.clock.runUntil(answer)).kind).toBe('answer');
  });

  test('a refusal is stored too: closing the guard does not turn its repetition into a motion', async () => {
    const station = new StationStub();
    await station.ready();
    station.rig.sideDoor.setGuard(false);
    const refused = await station.order('visit', visit);
    station.rig.sideDoor.setGuard(true);
    station.send(formatLine({ kind: 'order', number: refused.number, word: 'visit', fields: visit }));
    await station.clock.advance(50);
    expect(station.lines.filter((l) => l.number === refused.number).map((l) => l.word)).toEqual(['guard', 'guard']);
    expect(station.rig.sideDoor.moment().positionUm).toBe(0);
  });
});

describe('a glide', () => {
  test('streams every sample in order with rising clock and position, and says how many', async () => {
    const station = new StationStub();
    await station.ready();
    await station.visit(2000);
    const end = await station.order('glide', { x: 22_000, v: 50_000, a: 2000, j: 0, e: 500 });
    // 20 mm at 50 mm/s and 2 m/s2: 0.4 s + 25 ms of ramps; a sample every 0.5 ms.
    expect(end.fields).toMatchObject({ x: 22_000, n: 850 });
    expect(station.samples.map((s) => s.counter)).toEqual(Array.from({ length: 850 }, (_, i) => i));
    station.samples.forEach((sample, i) => {
      const before = station.samples[i - 1];
      if (!before) return;
      expect(Math.abs(sample.clockUs - before.clockUs - 500)).toBeLessThanOrEqual(1);
      expect(sample.positionUm).toBeGreaterThanOrEqual(before.positionUm);
    });
  });

  test('on a line too slow for it loses whole samples, and the counters show the gap', async () => {
    const station = new StationStub();
    await station.ready();
    station.rig.sideDoor.setDisturbance({ baud: 115_200 });
    await station.visit(2000);
    const end = await station.order('glide', { x: 92_000, v: 50_000, a: 2000, j: 0, e: 100 });
    expect(station.samples.length).toBeLessThan(end.fields.n ?? 0);
    const counters = station.samples.map((s) => s.counter);
    expect([...counters].sort((a, b) => a - b)).toEqual(counters);
    expect(new Set(counters).size).toBe(counters.length);
  });
});
