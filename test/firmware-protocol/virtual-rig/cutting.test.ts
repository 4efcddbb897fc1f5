import { describe, expect, test } from 'vitest';
import { createVirtualRig } from '../../../firmware-protocol/virtual-rig/in-process.ts';
import { defaultParameters } from '../../../firmware-protocol/virtual-rig/parameters.ts';
import { actForPerson } from '../../../firmware-protocol/virtual-rig/person-commands.ts';
import { startRigProcess } from '../../../firmware-protocol/virtual-rig/serve.ts';
import type { SideDoor } from '../../../firmware-protocol/virtual-rig/side-door.ts';
import type { ToolCut } from '../../../firmware-protocol/virtual-rig/tool.ts';
import { VirtualClock } from '../../../firmware-protocol/virtual-rig/virtual-clock.ts';
import { testLaw } from './laws.ts';
import { StationStub } from './station-stub.ts';

const shave: ToolCut = { kind: 'shave', side: 'left', fromMm: 60, toMm: 70, depthMm: 0.6 };
const travels = [20, 50, 65, 80, 100];

function rig(seed = 5): SideDoor {
  return createVirtualRig({ law: testLaw, seed, size: 24, clock: new VirtualClock() }).sideDoor;
}

/** Depth really cut over depth set, of the cuts of a fader that were all set alike. */
const gains = (door: SideDoor, index: number): number[] =>
  door.truth(index, []).cuts.map((cut) => cut.depthMm / shave.depthMm);

const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
const sd = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((a, b) => a + (b - mean(values)) ** 2, 0) / (values.length - 1));

describe('cutting through the side door', () => {
  test('raises the total, makes points below the cut quieter and points above louder', () => {
    const door = rig();
    const before = door.truth(3, travels);
    door.applyCuts(3, [shave], 'blade-1');
    const after = door.truth(3, travels);
    expect(after.totalOhm).toBeGreaterThan(before.totalOhm * 1.01);
    const change = after.points.map((p, i) => p.meanDb - (before.points[i]?.meanDb ?? Number.NaN));
    expect(change[0]).toBeGreaterThan(0.05);
    // Ten millimetres beside the cut nothing is left of its reach: both move by the change of the total alone.
    expect(change[1]).toBeCloseTo(change[0] ?? 0, 6);
    expect(change[3]).toBeLessThan(0);
    expect(change[4]).toBeLessThan(0);
  });

  test('leaves every other fader alone', () => {
    const door = rig();
    const before = door.truth(4, travels);
    door.applyCuts(3, [shave], 'blade-1');
    expect(door.truth(4, travels)).toEqual(before);
  });

  test('stays with the fader when others are put in between, and adds up', () => {
    const door = rig();
    door.load(3);
    door.applyCuts(3, [shave], 'blade-1');
    const once = door.truth(3, travels);
    door.load(7);
    door.load(3);
    expect(door.truth(3, travels)).toEqual(once);
    door.applyCuts(3, [shave], 'blade-1');
    const twice = door.truth(3, travels);
    expect(twice.cuts).toHaveLength(2);
    expect(twice.totalOhm).toBeGreaterThan(once.totalOhm);
  });

  test('comes out the same for the same seed and another way for another', () => {
    const cut = (seed: number): number => {
      const door = rig(seed);
      door.applyCuts(0, [shave], 'blade-1');
      return door.truth(0, []).cuts[0]?.depthMm ?? Number.NaN;
    };
    expect(cut(5)).toBe(cut(5));
    expect(cut(6)).not.toBe(cut(5));
  });

  test('each tool has its own gain, each cut its own scatter and place', () => {
    const door = rig();
    const tools = Array.from({ length: 300 }, (_, i) => `tool-${i}`);
    for (const [i, tool] of tools.entries()) door.applyCuts(i % 24, [shave], tool);
    const single = Array.from({ length: 24 }, (_, i) => gains(door, i)).flat();
    // Gain and scatter together; five standard errors of a mean and of a standard deviation of 300, 5 % for cut tails.
    const expected = Math.hypot(0.15, 0.1);
    expect(Math.abs(mean(single) - 1)).toBeLessThan((5 * expected) / Math.sqrt(300));
    expect(Math.abs(sd(single) - expected)).toBeLessThan((5 * expected) / Math.sqrt(600) + 0.05 * expected);

    const other = rig(77);
    other.applyCuts(2, Array<ToolCut>(200).fill(shave), 'blade-1');
    const { gainSd, cutSd, placeSdMm } = defaultParameters.tool;
    const own = gains(other, 2);
    const gain = mean(own);
    expect(Math.abs(gain - 1)).toBeLessThan(3 * gainSd + 0.03);
    expect(Math.abs(sd(own) / gain - cutSd)).toBeLessThan((5 * cutSd) / Math.sqrt(400) + 0.05 * cutSd);
    const places = other.truth(2, []).cuts.map((cut) => (cut.kind === 'shave' ? cut.fromMm - 60 : Number.NaN));
    expect(Math.abs(sd(places) - placeSdMm)).toBeLessThan((5 * placeSdMm) / Math.sqrt(400) + 0.05 * placeSdMm);
    // The same tool cuts another fader with the same gain.
    other.applyCuts(9, Array<ToolCut>(200).fill(shave), 'blade-1');
    expect(Math.abs(mean(gains(other, 9)) - gain)).toBeLessThan(5 * gain * cutSd * Math.sqrt(2 / 200));
  });

  test('sets depths in steps of the tool', () => {
    const door = rig();
    const fine: ToolCut = { ...shave, depthMm: 0.609 };
    const twin = rig();
    door.applyCuts(0, [fine], 'blade-1');
    twin.applyCuts(0, [shave], 'blade-1');
    expect(door.truth(0, []).cuts).toEqual(twin.truth(0, []).cuts);
  });

  test.each([
    ['deeper than the film is wide', { ...shave, depthMm: 4 }],
    ['of no depth', { ...shave, depthMm: 0 }],
    ['beyond the track', { ...shave, toMm: 105 }],
    ['the wrong way round', { ...shave, fromMm: 71 }],
    ['at no place', { kind: 'plunge', side: 'left', atMm: Number.NaN, depthMm: 1 }],
  ] as const)('refuses a cut %s and then makes none of the others', (_what, wrong) => {
    const door = rig();
    expect(() => door.applyCuts(1, [shave, wrong], 'blade-1')).toThrow(
      expect.objectContaining({ code: 'cutImpossible', userFixable: true }),
    );
    expect(door.truth(1, []).cuts).toEqual([]);
  });

  test('refuses a fader that does not exist', () => {
    expect(() => rig().applyCuts(24, [shave], 'blade-1')).toThrow(expect.objectContaining({ code: 'faderUnknown' }));
  });
});

describe('cutting while the wiper is parked', () => {
  const counts = (reading: { readonly wiperMean: number }): number => reading.wiperMean;

  test('moves the readings as it goes on, and they stay when it has stopped', async () => {
    const station = new StationStub({ size: 2 });
    const { sideDoor } = station.rig;
    await station.ready();
    const start = counts(await station.visit(50_000));
    const before = sideDoor.truth(0, []).totalOhm;
    sideDoor.startCutting(0, shave, 'blade-1', 0.1);
    await station.clock.advance(1500);
    const during = counts(await station.visit(50_000));
    await station.clock.advance(1500);
    const later = counts(await station.visit(50_000));
    expect(during).toBeLessThan(start);
    expect(later).toBeLessThan(during);
    const reached = sideDoor.stopCutting();
    expect(reached).toBeGreaterThan(0);
    const stopped = sideDoor.truth(0, []);
    expect(stopped.totalOhm).toBeGreaterThan(before);
    expect(stopped.cuts).toHaveLength(1);
    await station.clock.advance(2000);
    expect(sideDoor.truth(0, []).totalOhm).toBe(stopped.totalOhm);
    expect(sideDoor.stopCutting()).toBeNull();
    station.rig.close();
  });

  test('ends at the depth asked for, times what the tool makes of it', async () => {
    const clock = new VirtualClock();
    const virtual = createVirtualRig({ law: testLaw, seed: 5, clock });
    virtual.sideDoor.startCutting(0, shave, 'blade-1', 0.5);
    await clock.advance(60_000);
    const reached = virtual.sideDoor.stopCutting() ?? Number.NaN;
    const twin = rig();
    twin.applyCuts(0, [shave], 'blade-1');
    expect(reached).toBe(twin.truth(0, []).cuts[0]?.depthMm);
    virtual.close();
  });

  test('one at a time, and it ends when the fader is changed', async () => {
    const clock = new VirtualClock();
    const virtual = createVirtualRig({ law: testLaw, seed: 5, clock });
    const { sideDoor } = virtual;
    sideDoor.startCutting(0, shave, 'blade-1', 0.1);
    expect(() => sideDoor.startCutting(0, shave, 'blade-1', 0.1)).toThrow(
      expect.objectContaining({ code: 'cuttingAlready' }),
    );
    await clock.advance(1000);
    sideDoor.next();
    expect(sideDoor.stopCutting()).toBeNull();
    expect(sideDoor.truth(0, []).cuts).toHaveLength(1);
    virtual.close();
  });
});

describe('a person at the bench', () => {
  test('cuts the fader that is in the rig by typing', () => {
    const door = rig();
    const before = door.truth(0, []).totalOhm;
    expect(actForPerson('cut shave left 60 70 0.6 blade-1', door)).toMatch(/PF104-26-48-00001 was cut/);
    expect(actForPerson('cut plunge right 40.5 0.4 blade-1', door)).toMatch(/was cut/);
    expect(door.truth(0, []).cuts.map((cut) => [cut.kind, cut.side])).toEqual([
      ['shave', 'left'],
      ['plunge', 'right'],
    ]);
    expect(door.truth(0, []).totalOhm).toBeGreaterThan(before);
    expect(actForPerson('cut shave left 30 34 0.3 blade-1 at 0.05', door)).toMatch(/is being cut/);
    expect(actForPerson('cut stop', door)).toMatch(/has ended/);
    expect(actForPerson('cut stop', door)).toBe('nothing is being cut');
  });

  test('is told how, when the line is not understood or no fader is in', () => {
    const door = rig();
    expect(actForPerson('cut shave up 60 70 0.6 blade-1', door)).toMatch(/not understood.*for example/);
    door.unload();
    expect(actForPerson('cut shave left 60 70 0.6 blade-1', door)).toMatch(/no fader/);
  });
});

test('a rig in its own process cuts through the same door', async () => {
  const served = await startRigProcess({ law: testLaw, seed: 5, size: 3 });
  try {
    const before = await served.sideDoor.truth(1, travels);
    await served.sideDoor.applyCuts(1, [shave], 'blade-1');
    const after = await served.sideDoor.truth(1, travels);
    expect(after.totalOhm).toBeGreaterThan(before.totalOhm);
    await served.sideDoor.startCutting(1, shave, 'blade-1', 10);
    expect(await served.sideDoor.stopCutting()).not.toBeNull();
    await expect(served.sideDoor.applyCuts(1, [{ ...shave, depthMm: -1 }], 'blade-1')).rejects.toMatchObject({
      code: 'cutImpossible',
      userFixable: true,
    });
  } finally {
    await served.stop();
  }
});
