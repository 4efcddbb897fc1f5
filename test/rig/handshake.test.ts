import { expect, it } from 'vitest';
import { VirtualClock } from '../../firmware-protocol/virtual-rig/virtual-clock.ts';
import { IncompatibleRigError, NoAnswerError } from '../../src/rig/errors.ts';
import { connectRig } from '../../src/rig/rig.ts';
import { overDuplex } from '../../src/rig/transport.ts';
import { limits, type Script, ScriptedRig } from './scripted-rig.ts';

function attempt(script: Script, prepare: (rig: ScriptedRig, clock: VirtualClock) => void = () => {}) {
  const clock = new VirtualClock();
  const fake = new ScriptedRig(clock, script);
  prepare(fake, clock);
  let draw = 100;
  const connected = connectRig(overDuplex(fake.stationSide, 'port-7'), { clock, random16: () => draw++ });
  return { clock, fake, outcome: clock.runUntil(connected.catch((error: unknown) => error)) };
}

it('refuses a rig of another protocol version and names rig and versions', async () => {
  const { outcome, fake } = attempt(
    () => 'default',
    (rig) => {
      rig.greeting = { texts: { rig: 'bench-9', ser: 'R-0042', fw: '7.1' }, fields: { v: 3, sim: 0 } };
    },
  );
  const error = await outcome;
  expect(error).toBeInstanceOf(IncompatibleRigError);
  expect(error).toMatchObject({
    code: 'incompatibleRig',
    userFixable: true,
    message: expect.stringMatching(/bench-9 R-0042.*7\.1.*port-7.*protocol 3.*speaks 1/),
  });
  expect(fake.stationSide.destroyed).toBe(true);
});

it('names the versions of a rig that refuses ours', async () => {
  const { outcome } = attempt((line, rig) => {
    rig.refuse(line, 'version', { fields: { lo: 2, hi: 4 } });
    return 'handled';
  });
  expect(await outcome).toMatchObject({
    code: 'incompatibleRig',
    message: expect.stringMatching(/port-7 speaks protocol 2 to 4; this program speaks 1/),
  });
});

it('refuses a rig that does not report all limits and names the rig and the limit', async () => {
  const { outcome } = attempt((line, rig) => {
    if (line.word !== 'limits') return 'default';
    rig.accept(line);
    rig.answer(line, { xl: limits.travelMinUm, more: 0 });
    return 'handled';
  });
  expect(await outcome).toMatchObject({
    code: 'incompatibleRig',
    message: expect.stringMatching(/bench-1 R-0001.*travelMaxUm/),
  });
});

it('tells a device that speaks something else from one that says nothing', async () => {
  const babbler = attempt(
    () => 'handled',
    (rig, clock) => {
      for (let ms = 0; ms < 5000; ms += 100) clock.after(ms, () => rig.sendText('T=23.4 C;\r\n'));
    },
  );
  expect(await babbler.outcome).toBeInstanceOf(IncompatibleRigError);
  const mute = attempt(() => 'handled');
  expect(await mute.outcome).toBeInstanceOf(NoAnswerError);
});

it('greets again when the number by chance was that of the last order of the session before', async () => {
  let first = true;
  const { outcome, fake } = attempt((line, rig) => {
    if (line.word !== 'hello' || !first) return 'default';
    first = false;
    rig.answerStatus(line);
    return 'handled';
  });
  expect(await outcome).toMatchObject({ identity: { serial: 'R-0001' } });
  expect(fake.orders('hello').map((line) => line.number)).toEqual([100, 101]);
});

it('waits for a rig that restarts when its port is opened', async () => {
  let isAwake = false;
  const { outcome, clock } = attempt(
    () => (isAwake ? 'default' : 'handled'),
    (rig, virtual) => {
      virtual.after(1800, () => {
        isAwake = true;
        rig.event('awake');
      });
    },
  );
  expect(await outcome).toMatchObject({ identity: { model: 'bench-1' } });
  expect(clock.nowMs()).toBeLessThan(2200);
});

it('can be cancelled, and closes the port then', async () => {
  const clock = new VirtualClock();
  const fake = new ScriptedRig(clock, () => 'handled');
  const stop = new AbortController();
  clock.after(50, () => stop.abort());
  const connected = connectRig(overDuplex(fake.stationSide), { clock, random16: () => 1, signal: stop.signal });
  await expect(clock.runUntil(connected)).rejects.toMatchObject({ code: 'cancelled' });
  expect(fake.stationSide.destroyed).toBe(true);
});
