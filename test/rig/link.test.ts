import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { VirtualClock } from '../../firmware-protocol/virtual-rig/virtual-clock.ts';
import type { RigEvent, VisitOrder } from '../../src/procedure/rig-port.ts';
import { CancelledError, LineLostError, MeterDataError, NoAnswerError, RigRefusedError } from '../../src/rig/errors.ts';
import { connectRig, type Rig } from '../../src/rig/rig.ts';
import { overDuplex } from '../../src/rig/transport.ts';
import { type Script, ScriptedRig } from './scripted-rig.ts';

const visit: VisitOrder = {
  targetUm: 52_000,
  speedUmPerS: 200_000,
  accelMmPerS2: 2000,
  jerkMmPerS3: 0,
  approach: 'up',
  dwellUs: 100_000,
  integrationUs: 20_000,
  conversions: 2,
};

let clock: VirtualClock;
let fake: ScriptedRig;
let rig: Rig;
const random16 = (): number => 0xfffe;

async function connect(script: Script): Promise<void> {
  clock = new VirtualClock();
  fake = new ScriptedRig(clock, script);
  rig = await clock.runUntil(connectRig(overDuplex(fake.stationSide), { clock, random16 }));
}

/** Runs the clock until the promise settles; the rejection is the result. */
async function failureOf(promise: Promise<unknown>): Promise<unknown> {
  return clock.runUntil(
    promise.then(
      (value) => expect.fail(`resolved with ${JSON.stringify(value)}`),
      (error: unknown) => error,
    ),
  );
}

afterEach(async () => {
  await rig.close();
});

describe('a sound line', () => {
  beforeEach(() => connect(() => 'default'));

  it('learns identity and limits', () => {
    expect(rig.identity).toEqual({
      model: 'bench-1',
      serial: 'R-0001',
      firmware: '1.0.0',
      protocol: 1,
      isVirtual: true,
    });
    expect(rig.limits.travelMaxUm).toBe(110_000);
    expect(rig.limits.watchdogUs).toBe(250_000);
  });

  it('numbers orders one after another across the wrap at 65535', async () => {
    await clock.runUntil(rig.sense({ integrationUs: 20_000, conversions: 2 }));
    const numbers = fake.received.filter((line) => line.kind === 'order').map((line) => line.number);
    expect(numbers).toEqual([0xfffe, 0xffff, 0, 1, 2, 3]);
  });

  it('turns a reading into mean and standard deviation', async () => {
    const reading = await clock.runUntil(rig.visit(visit));
    expect(reading.wiperCounts).toBe(4_000_001);
    expect(reading.wiperSdCounts).toBeCloseTo(Math.SQRT2, 12);
    expect(reading.trackCounts).toBe(8_000_000);
  });

  it('carries out orders given at once one after another', async () => {
    const meter = { integrationUs: 100, conversions: 2 };
    await clock.runUntil(Promise.all([rig.sense(meter), rig.ohms(meter), rig.sense(meter)]));
    expect(rig.statistics().retransmissions).toBe(0);
    expect(fake.orders('sense')).toHaveLength(2);
  });

  it('beats while power is on, often enough for a watchdog of 250 ms', async () => {
    const before = fake.express('beat').length;
    await clock.advance(3000);
    expect(fake.express('beat').length - before).toBeGreaterThanOrEqual(3000 / 100);
  });
});

describe('orders and answers that get lost', () => {
  it('repeats a lost order with the same number as soon as a heartbeat shows it was not taken', async () => {
    let lost = 0;
    await connect((line) => (line.word === 'visit' && lost++ === 0 ? 'handled' : 'default'));
    const startMs = clock.nowMs();
    await clock.runUntil(rig.visit(visit));
    const sent = fake.orders('visit');
    expect(sent).toHaveLength(2);
    expect(sent[1]?.number).toBe(sent[0]?.number);
    expect(clock.nowMs() - startMs).toBeLessThan(100);
    expect(rig.statistics().retransmissions).toBe(1);
  });

  it('fetches a lost answer by repeating the order', async () => {
    let times = 0;
    await connect((line, self) => {
      if (line.word !== 'sense') return 'default';
      self.accept(line);
      return times++ === 0 ? 'handled' : 'default';
    });
    const reading = await clock.runUntil(rig.sense({ integrationUs: 1000, conversions: 2 }));
    expect(reading.conversions).toBe(2);
    expect(fake.orders('sense').map((line) => line.number)).toEqual([3, 3]);
  });

  it('waits on as long as the rig says that it is working', async () => {
    let asked = 0;
    await connect((line, self) => {
      if (line.word !== 'sense') return 'default';
      self.accept(line);
      asked += 1;
      if (asked < 30) self.send({ kind: 'working', number: line.number });
      else self.answerByDefault(line);
      return 'handled';
    });
    await clock.runUntil(rig.sense({ integrationUs: 1000, conversions: 2 }));
    expect(asked).toBe(30);
  });

  it('takes an answer that comes twice once', async () => {
    await connect((line, self) => {
      if (line.word === 'sense') self.answerByDefault(line);
      return 'default';
    });
    await clock.runUntil(rig.sense({ integrationUs: 1000, conversions: 2 }));
    await clock.runUntil(rig.sense({ integrationUs: 1000, conversions: 2 }));
    expect(rig.statistics().duplicatesIgnored).toBe(2);
  });

  it('gives up an order that is never answered, halts, and goes on with the number the rig expects', async () => {
    let deaf = true;
    await connect((line, self) => {
      if (line.word !== 'sense' || !deaf) return 'default';
      self.accept(line);
      return 'handled';
    });
    const error = await failureOf(rig.sense({ integrationUs: 1000, conversions: 2 }));
    expect(error).toBeInstanceOf(NoAnswerError);
    expect(error).toMatchObject({ code: 'noAnswer', word: 'sense', userFixable: false });
    expect(fake.express('halt').length).toBeGreaterThan(0);
    deaf = false;
    await clock.runUntil(rig.sense({ integrationUs: 1000, conversions: 2 }));
    expect(fake.orders('sense').at(-1)?.number).toBe(4);
  });

  it('does not take a nonsensical reading for a value', async () => {
    await connect((line, self) => {
      if (line.word !== 'sense') return 'default';
      self.accept(line);
      self.answer(line, { x: 0, c: 0, k: 1 });
      return 'handled';
    });
    expect(await failureOf(rig.sense({ integrationUs: 1000, conversions: 2 }))).toBeInstanceOf(MeterDataError);
  });
});

describe('refusals', () => {
  it('tell the code, the field and what to do', async () => {
    await connect((line, self) => {
      if (line.word !== 'sense') return 'default';
      self.accept(line);
      self.refuse(line, 'range', { texts: { at: 't' } });
      return 'handled';
    });
    const error = await failureOf(rig.sense({ integrationUs: 1, conversions: 2 }));
    expect(error).toBeInstanceOf(RigRefusedError);
    expect(error).toMatchObject({ code: 'refused', refusal: 'range', at: 't', userFixable: true });
  });

  it('a refusal out of turn ends the session: nobody knows what was executed', async () => {
    await connect((line, self) => {
      if (line.word !== 'sense') return 'default';
      self.refuse(line, 'turn');
      return 'handled';
    });
    expect(await failureOf(rig.sense({ integrationUs: 1000, conversions: 2 }))).toBeInstanceOf(LineLostError);
  });

  it('a visit that the watchdog cut short is repeated after power on', async () => {
    let visits = 0;
    await connect((line, self) => {
      if (line.word !== 'visit' || visits++ > 0) return 'default';
      self.accept(line);
      self.refuse(line, 'silent');
      return 'handled';
    });
    await clock.runUntil(rig.visit(visit));
    const words = fake.received.filter((line) => line.kind === 'order').map((line) => line.word);
    expect(words.slice(-3)).toEqual(['visit', 'power', 'visit']);
  });

  it('a visit refused by an interlock is not repeated', async () => {
    await connect((line, self) => {
      if (line.word !== 'visit') return 'default';
      self.accept(line);
      self.refuse(line, 'guard');
      return 'handled';
    });
    expect(await failureOf(rig.visit(visit))).toMatchObject({ refusal: 'guard' });
    expect(fake.orders('visit')).toHaveLength(1);
  });
});

describe('interlocks before a motion', () => {
  it.each([
    ['guardClosed', 'guard'],
    ['emergencyStopReleased', 'estop'],
    ['clampClosed', 'clamp'],
  ] as const)('%s false: the motion is refused here, no order leaves', async (flag, refusal) => {
    await connect(() => 'default');
    fake.status = { ...fake.status, [flag]: false };
    await clock.advance(500);
    expect(await failureOf(rig.visit(visit))).toMatchObject({ code: 'refused', refusal });
    expect(await failureOf(rig.home())).toMatchObject({ refusal });
    expect(fake.orders('visit')).toHaveLength(0);
    expect(fake.orders('home')).toHaveLength(0);
  });

  it('a state too old is asked for anew', async () => {
    await connect(() => 'default');
    fake.status = { ...fake.status, motion: 'unpowered' };
    // Without power the heartbeat is slow, so that the known state grows old.
    await clock.advance(900);
    fake.status = { ...fake.status, guardClosed: false };
    expect(rig.latestStatus()?.ageMs).toBeGreaterThan(200);
    expect(await failureOf(rig.visit(visit))).toMatchObject({ refusal: 'guard' });
  });

  it('an interlock event counts at once', async () => {
    await connect(() => 'default');
    await clock.advance(100);
    const events: RigEvent[] = [];
    rig.onEvent((event) => events.push(event));
    fake.event('locks', { g: 0, e: 1, p: 1 }, 7);
    fake.event('locks', { g: 0, e: 1, p: 1 }, 7);
    await clock.advance(1);
    expect(await failureOf(rig.visit(visit))).toMatchObject({ refusal: 'guard' });
    expect(events).toEqual([
      { kind: 'interlocks', interlocks: { guardClosed: false, emergencyStopReleased: true, clampClosed: true } },
    ]);
  });

  it('creeping is allowed with the guard open, not with the emergency stop pressed', async () => {
    await connect(() => 'default');
    fake.status = { ...fake.status, guardClosed: false, clampClosed: false };
    await clock.advance(500);
    await clock.runUntil(rig.creep(5000, 5000));
    fake.status = { ...fake.status, emergencyStopReleased: false };
    await clock.advance(500);
    expect(await failureOf(rig.creep(0, 5000))).toMatchObject({ refusal: 'estop' });
    expect(fake.orders('creep')).toHaveLength(1);
  });
});

describe('cancelling', () => {
  /** Moves for ever; stands still 40 ms after a halt and then refuses the order. */
  const endlessVisit: Script = (line, self) => {
    if (line.word === 'visit') {
      if (self.status.lastOrder === line.number && self.status.motion !== 'moving') self.refuse(line, 'halted');
      else {
        self.accept(line);
        self.status = { ...self.status, motion: 'moving' };
      }
      return 'handled';
    }
    if (line.word === 'halt' && self.status.motion === 'moving') {
      self.clock.after(40, () => {
        self.status = { ...self.status, motion: 'stopped' };
      });
    }
    return 'default';
  };

  it('halts a motion and rejects only once the rig says that it stands', async () => {
    await connect(endlessVisit);
    const stop = new AbortController();
    clock.after(300, () => stop.abort());
    const startMs = clock.nowMs();
    const error = await failureOf(rig.visit({ ...visit, dwellUs: 5_000_000 }, stop.signal));
    expect(error).toBeInstanceOf(CancelledError);
    expect(fake.status.motion).toBe('stopped');
    expect(clock.nowMs() - startMs).toBeGreaterThanOrEqual(340);
    expect(fake.express('halt').length).toBeGreaterThan(0);
  });

  it('never sends an order again that the rig had not taken when the halt arrived', async () => {
    await connect((line, self) => {
      // The order gets lost, and so do heartbeats: only the halt gets through.
      if (line.word === 'visit' || (line.word === 'beat' && self.orders('visit').length === 1)) return 'handled';
      return 'default';
    });
    const stop = new AbortController();
    clock.after(10, () => stop.abort());
    expect(await failureOf(rig.visit(visit, stop.signal))).toBeInstanceOf(CancelledError);
    const lost = fake.orders('visit');
    expect(lost).toHaveLength(1);
    await clock.advance(100);
    await clock.runUntil(rig.sense({ integrationUs: 1000, conversions: 2 }));
    // Its number was never used, so the next order gets it.
    expect(fake.orders('sense')[0]?.number).toBe(lost[0]?.number);
  });

  it('a signal that fired before sends nothing', async () => {
    await connect(() => 'default');
    expect(await failureOf(rig.visit(visit, AbortSignal.abort()))).toBeInstanceOf(CancelledError);
    expect(fake.orders('visit')).toHaveLength(0);
  });

  it('reports the lost line, not the cancellation, when both happen', async () => {
    await connect(endlessVisit);
    const stop = new AbortController();
    clock.after(50, () => {
      stop.abort();
      fake.unplug();
    });
    expect(await failureOf(rig.visit(visit, stop.signal))).toBeInstanceOf(LineLostError);
  });
});

describe('a line that ends', () => {
  it('rejects what is in work at once when the port closes, and everything after it', async () => {
    await connect((line) => (line.word === 'visit' ? 'handled' : 'default'));
    const events: RigEvent[] = [];
    rig.onEvent((event) => events.push(event));
    const startMs = clock.nowMs();
    clock.after(5, () => fake.unplug());
    expect(await failureOf(rig.visit(visit))).toMatchObject({ code: 'lineLost', userFixable: true });
    expect(clock.nowMs() - startMs).toBe(5);
    expect(await failureOf(rig.status())).toBeInstanceOf(LineLostError);
    expect(await failureOf(rig.halt())).toBeInstanceOf(LineLostError);
    expect(events.map((event) => event.kind)).toEqual(['lineLost']);
  });

  it('is lost when nothing valid is heard for half a second', async () => {
    let isMute = false;
    await connect(() => (isMute ? 'handled' : 'default'));
    isMute = true;
    const startMs = clock.nowMs();
    expect(await failureOf(rig.visit(visit))).toBeInstanceOf(LineLostError);
    expect(clock.nowMs() - startMs).toBeLessThan(600);
    expect(fake.stationSide.destroyed).toBe(true);
  });

  it.each([
    ['it announces itself', (self: ScriptedRig) => self.event('awake')],
    ['it refuses a heartbeat', (self: ScriptedRig) => self.send({ kind: 'refusal', number: 9, word: 'asleep' })],
  ])('a restart of the rig ends the session when %s', async (_how, restart) => {
    await connect((line) => (line.word === 'visit' ? 'handled' : 'default'));
    const events: RigEvent[] = [];
    rig.onEvent((event) => events.push(event));
    clock.after(5, () => restart(fake));
    expect(await failureOf(rig.visit(visit))).toBeInstanceOf(LineLostError);
    expect(events.map((event) => event.kind)).toEqual(['restarted', 'lineLost']);
  });

  it('sends nothing after the end', async () => {
    await connect(() => 'default');
    await rig.close();
    const before = fake.received.length;
    expect(await failureOf(rig.power(true))).toBeInstanceOf(LineLostError);
    await clock.advance(2000);
    expect(fake.received).toHaveLength(before);
  });
});
