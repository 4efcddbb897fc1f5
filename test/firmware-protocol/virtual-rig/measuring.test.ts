import { describe, expect, test } from 'vitest';
import { decodeReading, type WireReading } from '../../../firmware-protocol/codec/index.ts';
import { defaultParameters } from '../../../firmware-protocol/virtual-rig/parameters.ts';
import type { RigParameters } from '../../../firmware-protocol/virtual-rig/parameters-schema.ts';
import { StationStub } from './station-stub.ts';

/** A rig that places and reads without error, so that only the fader shows. */
const exact: RigParameters = {
  ...defaultParameters,
  carriage: {
    ...defaultParameters.carriage,
    backlashMm: 0,
    screwErrorMm: 0,
    scaleErrorSd: 0,
    homeSdMm: 0,
    datumHalfRangeMm: 0,
  },
  meter: {
    ...defaultParameters.meter,
    noiseUv: 0,
    humMv: 0,
    gainErrorSd: 0,
    gainDriftSdPerK: 0,
    offsetSdUv: 0,
    nonLinearity: 0,
  },
  temperature: { meanC: 22, halfRangeK: 0, driftKPerH: 0 },
};
const datumUm = 2400;

const lossDb = (reading: WireReading): number => -20 * Math.log10(reading.wiperMean / reading.trackMean);

async function ready(change: ConstructorParameters<typeof StationStub>[0] = {}): Promise<StationStub> {
  const station = new StationStub({ parameters: exact, ...change });
  await station.ready();
  return station;
}

describe('what the rig reads', () => {
  test('is the truth about the fader, from both directions, when rig and meter are exact', async () => {
    const station = await ready();
    for (const travelMm of [12, 30, 54, 78, 99]) {
      const [truth] = station.rig.sideDoor.truth(0, [travelMm]).points;
      await station.visit(datumUm + travelMm * 1000 - 5000);
      const up = await station.visit(datumUm + travelMm * 1000);
      await station.visit(datumUm + travelMm * 1000 + 5000);
      const down = await station.visit(datumUm + travelMm * 1000, { up: 0 });
      // What is left: one count of rounding, the meter's load of 2.5 ppm, contact scatter shifting the wiper by microns.
      expect(Math.abs(lossDb(up) - (truth?.upDb ?? Number.NaN)), `up at ${travelMm}`).toBeLessThan(0.006);
      expect(Math.abs(lossDb(down) - (truth?.downDb ?? Number.NaN)), `down at ${travelMm}`).toBeLessThan(0.006);
    }
  });

  test('of the total resistance comes from the series reference', async () => {
    const station = await ready();
    const reading = decodeReading((await station.order('ohms', { t: 20_000, n: 4 })).fields);
    const share = reading.trackMean / 8_388_608;
    const ohm = (station.rig.sideDoor.truth(0, []).totalOhm * (1 - share)) / share;
    expect(Math.abs(ohm / 10_000 - 1)).toBeLessThan(3e-4);
  });

  test('still rings shortly after a stop and is calm after the dwell', async () => {
    const station = await ready();
    await station.visit(datumUm + 20_000);
    const soon = await station.visit(datumUm + 80_000, { w: 0, t: 1000, n: 10 });
    const later = await station
      .visit(datumUm + 20_000, { w: 0 })
      .then(() => station.visit(datumUm + 80_000, { w: 500_000, t: 1000, n: 10 }));
    // 2 m/s2 into 25 Hz: 81 um, a slope of 0.4 dB/mm.
    expect(soon.wiperSd ?? 0).toBeGreaterThan(1000);
    expect(later.wiperSd ?? 0).toBeLessThan(20);
  });

  test('with the clamp open or no fader in is nothing', async () => {
    const station = await ready();
    station.rig.sideDoor.setClamp(false);
    const open = decodeReading((await station.order('sense', { t: 20_000, n: 1 })).fields);
    expect([open.wiperMean, open.trackMean]).toEqual([0, 0]);
    station.rig.sideDoor.setClamp(true);
    station.rig.sideDoor.unload();
    expect(decodeReading((await station.order('sense', { t: 20_000, n: 1 })).fields).trackMean).toBe(0);
  });

  test('of a reference divider is its loss', async () => {
    const station = await ready();
    for (const loss of [20, 40, 60] as const) {
      station.rig.sideDoor.fitDivider(loss);
      expect(lossDb(decodeReading((await station.order('sense', { t: 20_000, n: 4 })).fields))).toBeCloseTo(loss, 2);
    }
  });
});

describe('faults as the instrument sees them', () => {
  const glide = async (kind: 8 | 10 | 12 | null, seed: number, v = 50_000): Promise<number[]> => {
    const station = await ready({ seed, faultShare: kind ? 1 : 0, faults: kind ? [kind] : [] });
    await station.visit(datumUm + 2000);
    await station.order('glide', { x: datumUm + 102_000, v, a: 2000, j: 0, e: 1000 });
    return station.samples.map((s) => s.wiperCounts);
  };
  const seeds = [1, 2, 3, 4, 5, 6];
  const falls = (counts: readonly number[]): number =>
    counts.filter((c, i) => i > 0 && c < (counts[i - 1] ?? 0) * 0.99).length;

  test('a sound fader rises without a fall', async () => {
    for (const seed of seeds) expect(falls(await glide(null, seed)), `seed ${seed}`).toBe(0);
  });

  test('8 dirt takes the wiper off the track somewhere', async () => {
    let seen = 0;
    for (const seed of seeds) if (falls(await glide(8, seed)) > 0) seen++;
    // Specks of 10 Mohm hide behind a meter of 1 Gohm; of 100 Mohm and more they show.
    expect(seen).toBeGreaterThanOrEqual(2);
  });

  test('10 a lifting wiper drops out, the more the faster', async () => {
    let slow = 0;
    let fast = 0;
    for (const seed of seeds) {
      slow += falls(await glide(10, seed, 20_000)) / 5000;
      fast += falls(await glide(10, seed, 150_000)) / 667;
    }
    expect(fast).toBeGreaterThan(0);
    expect(fast).toBeGreaterThan(2 * slow);
  });

  test('12 damaged bearings stick and jump', async () => {
    for (const seed of seeds) {
      const counts = await glide(12, seed, 20_000);
      const middle = counts.slice(1000, 4500);
      const stuck = middle.filter((c, i) => i > 0 && Math.abs(c - (middle[i - 1] ?? 0)) < 1).length;
      expect(stuck, `seed ${seed}`).toBeGreaterThan(middle.length / 2);
    }
  });

  test('13 play shows between the directions', async () => {
    const station = await ready({ faultShare: 1, faults: [13] });
    await station.visit(datumUm + 55_000);
    const up = lossDb(await station.visit(datumUm + 60_000));
    await station.visit(datumUm + 65_000);
    const down = lossDb(await station.visit(datumUm + 60_000, { up: 0 }));
    // 10 dB in 24 mm: 0.417 dB/mm.
    expect((up - down) / 0.417).toBeCloseTo(station.rig.sideDoor.truth(0, []).playMm, 1);
  });

  test('14 bad clamping shifts the whole law along the travel', async () => {
    const station = await ready({ faultShare: 1, faults: [14] });
    const [truth] = station.rig.sideDoor.truth(0, [60]).points;
    await station.visit(datumUm + 50_000);
    const shiftMm = (lossDb(await station.visit(datumUm + 60_000)) - (truth?.upDb ?? 0)) / 0.417;
    expect(Math.abs(shiftMm)).toBeGreaterThan(0.3);
    expect(Math.abs(shiftMm)).toBeLessThan(2.5);
  });

  test('station faults change what is read, not what is true', async () => {
    for (const [fault, change] of [
      ['meterGain', 20 * Math.log10(1.005)],
      ['positionScale', 0.003 * 62.4 * 0.417],
      ['lostSteps', -0.5 * 0.417],
    ] as const) {
      const station = await ready();
      await station.visit(datumUm + 50_000);
      const before = lossDb(await station.visit(datumUm + 60_000));
      station.rig.sideDoor.setStationFault(fault, true);
      await station.visit(datumUm + 50_000);
      const after = lossDb(await station.visit(datumUm + 60_000));
      expect(Math.abs(before - after - change), fault).toBeLessThan(0.05);
    }
  });
});
