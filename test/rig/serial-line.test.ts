import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ptyProblem } from '../../firmware-protocol/virtual-rig/serve.ts';
import type { VisitOrder } from '../../src/procedure/rig-port.ts';
import { systemClock } from '../../src/rig/clock.ts';
import { LineLostError, PortBusyError } from '../../src/rig/errors.ts';
import { connectRig } from '../../src/rig/rig.ts';
import { openSerial } from '../../src/rig/serial-transport.ts';
import { law } from './bench-law.ts';
import { ptyBench, realBench } from './benches.ts';
import { describeRig, random16 } from './rig-suite.ts';

const noPty = await ptyProblem();
const realPort = process.env.FADERWRIGHT_PORT;

const slow: VisitOrder = {
  targetUm: 90_000,
  speedUmPerS: 20_000,
  accelMmPerS2: 1000,
  jerkMmPerS3: 0,
  approach: 'up',
  dwellUs: 0,
  integrationUs: 20_000,
  conversions: 1,
};

if (noPty === null) describeRig('on a pseudo-terminal', () => ptyBench({ law }), true);
if (realPort !== undefined) describeRig(`on ${realPort}`, () => realBench(realPort), false);

describe.skipIf(noPty !== null)('a serial line', () => {
  let bench: Awaited<ReturnType<typeof ptyBench>>;

  beforeEach(async () => {
    bench = await ptyBench({ law });
  });

  afterEach(() => bench.stop());

  const connect = async () => connectRig(await bench.open(), { clock: systemClock, random16 });

  it('is busy while it is open, and says by whom', async () => {
    const transport = await bench.open();
    const error: unknown = await openSerial(bench.rigProcess.path).catch((reason: unknown) => reason);
    expect(error).toBeInstanceOf(PortBusyError);
    const holder = process.platform === 'linux' ? 'this program itself' : null;
    expect(error).toMatchObject({ code: 'portBusy', userFixable: true, holder });
    await transport.close();
    await (await bench.open()).close();
  });

  it('may be closed and opened again many times, without an old order reaching the rig', async () => {
    for (let session = 0; session < 5; session += 1) {
      const rig = await connect();
      await rig.power(true);
      await rig.close();
    }
    const done = await bench.rigProcess.sideDoor.executions();
    expect(done.map((order) => order.word)).toEqual(Array(5).fill('power'));
    expect(new Set(done.map((order) => order.session)).size).toBe(5);
  });

  it('ends at once when the rig is killed in mid-move, and the program does not spin', async () => {
    const rig = await connect();
    await rig.power(true);
    await rig.home();
    const motion = rig.visit(slow).catch((error: unknown) => error);
    await bench.wait(200);
    bench.rigProcess.process.kill('SIGKILL');
    expect(await motion).toBeInstanceOf(LineLostError);
    await expect(rig.status()).rejects.toBeInstanceOf(LineLostError);
    const before = process.cpuUsage();
    const startMs = performance.now();
    await bench.wait(500);
    const used = process.cpuUsage(before);
    // A descriptor that is read in vain takes a whole core; an idle program next to nothing.
    expect((used.user + used.system) / 1000 / (performance.now() - startMs)).toBeLessThan(0.5);
  });

  it.each([0, 1, 2, 5, 20])('ends when the rig is killed %i ms after the port was opened', async (delayMs) => {
    const transport = await bench.open();
    const connected = connectRig(transport, { clock: systemClock, random16 }).then((rig) =>
      rig.status().then(() => bench.wait(1000).then(() => rig.status())),
    );
    const outcome = connected.catch((error: unknown) => error);
    await bench.wait(delayMs);
    bench.rigProcess.process.kill('SIGKILL');
    expect(await outcome).toMatchObject({ code: expect.stringMatching(/^(lineLost|noAnswer)$/) });
    expect(transport.isOpen).toBe(false);
  });

  it('repeats a visit that the watchdog stopped because this program was busy', async () => {
    const rig = await connect();
    const events: string[] = [];
    rig.onEvent((event) => events.push(event.kind));
    await rig.power(true);
    await rig.home();
    const motion = rig.visit({ ...slow, targetUm: 20_000 });
    await bench.wait(100);
    const untilMs = performance.now() + 400;
    while (performance.now() < untilMs) {
      // Nothing else runs meanwhile, as when a machine is overloaded or asleep.
    }
    expect(Math.abs((await motion).positionUm - 20_000)).toBeLessThan(50);
    expect(events).toEqual(['silenceStop']);
    const done = await bench.rigProcess.sideDoor.executions();
    expect(done.map((order) => order.word)).toEqual(['power', 'home', 'visit', 'power', 'visit']);
    await rig.close();
  });

  it('carries a disturbed conversation', async () => {
    await bench.rigProcess.sideDoor.setDisturbance({ corruptOneIn: 1000, dropLines: 0.02, duplicateLines: 0.02 });
    const rig = await connect();
    await rig.power(true);
    await rig.home();
    for (const targetUm of [10_000, 30_000, 20_000, 40_000, 35_000]) {
      const reading = await rig.visit({ ...slow, targetUm, speedUmPerS: 100_000 });
      expect(Math.abs(reading.positionUm - targetUm)).toBeLessThan(50);
    }
    const names = (await bench.rigProcess.sideDoor.executions()).map((order) => `${order.session}/${order.number}`);
    expect(new Set(names).size).toBe(names.length);
    await rig.close();
  });

  it('ends when the rig hangs without closing anything', async () => {
    const rig = await connect();
    await rig.power(true);
    await rig.home();
    const motion = rig.visit(slow).catch((error: unknown) => error);
    await bench.wait(100);
    bench.rigProcess.process.kill('SIGSTOP');
    expect(await motion).toMatchObject({ code: 'lineLost', reason: expect.stringMatching(/nothing valid was heard/) });
    bench.rigProcess.process.kill('SIGCONT');
    await bench.wait(600);
    const after = await bench.rigProcess.sideDoor.moment();
    expect(after.moving).toBe(false);
  });
});
