import { expect, it } from 'vitest';
import { VirtualClock } from '../../firmware-protocol/virtual-rig/virtual-clock.ts';
import { PortBusyError, PortMissingError, type RigError } from '../../src/rig/errors.ts';
import { type RigState, RigSupervisor } from '../../src/rig/reconnect.ts';
import { overDuplex, type Transport } from '../../src/rig/transport.ts';
import { ScriptedRig } from './scripted-rig.ts';

interface Place {
  readonly clock: VirtualClock;
  readonly supervisor: RigSupervisor;
  readonly states: RigState[];
  readonly events: string[];
  readonly openings: number[];
  /** What the next openings find. */
  found: ScriptedRig | RigError;
}

function watch(found: (clock: VirtualClock) => ScriptedRig | RigError): Place {
  const clock = new VirtualClock();
  const openings: number[] = [];
  const open = async (): Promise<Transport> => {
    openings.push(clock.nowMs());
    if (place.found instanceof Error) throw place.found;
    return overDuplex(place.found.stationSide);
  };
  const supervisor = new RigSupervisor({ open, clock, random16: () => 7 });
  const place: Place = { clock, supervisor, states: [], events: [], openings, found: found(clock) };
  supervisor.onState((state) => place.states.push(state));
  supervisor.onEvent((event) => place.events.push(event.kind));
  supervisor.start();
  return place;
}

const kinds = (place: Place): string[] => place.states.map((state) => state.kind);

it('waits for a rig that is not there yet, with growing pauses, and says why', async () => {
  const place = watch(() => new PortMissingError('/dev/ttyACM0'));
  await place.clock.advance(10_000);
  expect(place.supervisor.state).toMatchObject({ kind: 'absent', error: { code: 'portMissing' } });
  const pauses = place.openings.slice(1).map((ms, index) => ms - (place.openings[index] ?? 0));
  expect(pauses.slice(0, 6)).toEqual([100, 200, 400, 800, 1600, 2000]);
  place.found = new ScriptedRig(place.clock);
  const rig = await place.clock.runUntil(place.supervisor.whenReady());
  expect(rig.identity.serial).toBe('R-0001');
  await place.clock.runUntil(place.supervisor.stop());
});

it('tells a rig that cannot be used from one that is not there', async () => {
  const place = watch(() => new PortBusyError('/dev/ttyACM0', 'process 4711 (node)'));
  await place.clock.advance(300);
  expect(place.supervisor.state).toMatchObject({ kind: 'refused', error: { code: 'portBusy' } });
  const other = new ScriptedRig(place.clock);
  other.greeting = { texts: { rig: 'bench-9', ser: 'R-0002', fw: '9' }, fields: { v: 9, sim: 0 } };
  place.found = other;
  await place.clock.advance(450);
  expect(place.supervisor.state).toMatchObject({ kind: 'refused', error: { code: 'incompatibleRig' } });
  await place.clock.runUntil(place.supervisor.stop());
});

it('comes back after a loss, and says so', async () => {
  const place = watch((clock) => new ScriptedRig(clock));
  const first = await place.clock.runUntil(place.supervisor.whenReady());
  if (place.found instanceof ScriptedRig) place.found.unplug();
  place.found = new PortMissingError('/dev/ttyACM0');
  await place.clock.advance(1000);
  expect(place.supervisor.state.kind).toBe('lost');
  await expect(place.clock.runUntil(first.status())).rejects.toMatchObject({ code: 'lineLost' });
  place.found = new ScriptedRig(place.clock);
  const second = await place.clock.runUntil(place.supervisor.whenReady());
  await place.clock.runUntil(second.status());
  expect(place.events).toEqual(['lineLost', 'lineBack']);
  expect(kinds(place).filter((kind) => kind === 'ready')).toHaveLength(2);
  await place.clock.runUntil(place.supervisor.stop());
});

it('a waiter can leave, and a stopped supervisor opens nothing any more', async () => {
  const place = watch(() => new PortMissingError('/dev/ttyACM0'));
  const stop = new AbortController();
  const waiting = place.supervisor.whenReady(stop.signal);
  place.clock.after(500, () => stop.abort());
  await expect(place.clock.runUntil(waiting)).rejects.toMatchObject({ code: 'cancelled' });
  await place.clock.runUntil(place.supervisor.stop());
  const opened = place.openings.length;
  await place.clock.advance(20_000);
  expect(place.openings).toHaveLength(opened);
  expect(place.supervisor.state.kind).toBe('stopped');
});

it('closes the line when stopped', async () => {
  const place = watch((clock) => new ScriptedRig(clock));
  await place.clock.runUntil(place.supervisor.whenReady());
  await place.clock.runUntil(place.supervisor.stop());
  expect(place.found instanceof ScriptedRig && place.found.stationSide.destroyed).toBe(true);
  expect(place.events).toEqual(['lineLost']);
});
