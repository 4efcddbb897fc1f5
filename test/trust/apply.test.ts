import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applyReading, positionUmFor, totalResistanceOhm, travelMmOf } from '../../src/trust/apply.ts';
import { calibrationState } from '../../src/trust/calibration-state.ts';
import { exampleCalibration as calibration, exampleLimits as limits } from './example-calibration.ts';

const raw = (wiperCounts: number, trackCounts: number, overRange = false) => ({
  positionUm: 50_000,
  wiperCounts,
  trackCounts,
  overRange,
});

describe('travel', () => {
  it('takes half the backlash moving up and adds half moving down', () => {
    const bare = 50 * 1.00002 - 2.4;
    expect(travelMmOf(50_000, 'still', calibration)).toBeCloseTo(bare, 9);
    expect(travelMmOf(50_000, 'up', calibration)).toBeCloseTo(bare - 0.02, 9);
    expect(travelMmOf(50_000, 'down', calibration)).toBeCloseTo(bare + 0.02, 9);
  });

  it('comes back to the same place within the rounding of the rig', () => {
    fc.assert(
      fc.property(fc.double({ min: -2, max: 110, noNaN: true }), fc.constantFrom('up', 'down', 'still'), (mm, side) => {
        const um = positionUmFor(mm, side, calibration);
        expect(Number.isInteger(um)).toBe(true);
        expect(Math.abs(travelMmOf(um, side, calibration) - mm)).toBeLessThan(0.00051);
      }),
    );
  });
});

describe('ratio and loss', () => {
  it('takes out offsets, gain and the input of the meter', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-4, max: 1, noNaN: true }),
        fc.double({ min: 1e3, max: 1e5, noNaN: true }),
        (y, ohm) => {
          const input = 1e9;
          // A divider's source resistance at the wiper is R y (1 - y).
          const loaded = (y * input) / (input + ohm * y * (1 - y));
          const track = 8_000_000;
          const wiper = loaded * track * 1.0003 + 30;
          const applied = applyReading(raw(wiper, track - 12), 'up', calibration, limits, ohm);
          expect(applied.ratio).toBeCloseTo(y, 9);
          expect(applied.lossDb).toBeCloseTo(-20 * Math.log10(y), 6);
        },
      ),
    );
  });

  it('leaves a gap where nothing can be computed', () => {
    expect(applyReading(raw(30, 8e6), 'up', calibration, limits, 1e4)).toMatchObject({ ratio: 0, lossDb: null });
    expect(applyReading(raw(-500, 8e6), 'up', calibration, limits, 1e4).lossDb).toBeNull();
    expect(applyReading(raw(4e6, 8e6, true), 'up', calibration, limits, 1e4)).toMatchObject({
      ratio: null,
      lossDb: null,
    });
    expect(applyReading(raw(4e6, -12), 'up', calibration, limits, 1e4).ratio).toBeNull();
    expect(applyReading(raw(8e6, 1e5), 'up', calibration, limits, 1e4).ratio).toBeNull();
    expect(applyReading(raw(Number.NaN, 8e6), 'up', calibration, limits, 1e4).ratio).toBeNull();
  });

  it('finds the total resistance from the share the track takes', () => {
    const across = (10_500 * 1e9) / (10_500 + 1e9);
    const share = across / (across + 10_001);
    const counts = share * limits.fullScaleCounts - 12;
    expect(totalResistanceOhm(counts, calibration, limits)).toBeCloseTo(10_500, 4);
    expect(totalResistanceOhm(-12, calibration, limits)).toBeNull();
    expect(totalResistanceOhm(limits.fullScaleCounts, calibration, limits)).toBeNull();
  });
});

describe('state of a calibration', () => {
  const serial = calibration.rigSerial;
  it.each([
    ['valid', calibration, serial, '2026-11-25T10:00:00Z'],
    ['valid', calibration, serial, calibration.madeAt],
    ['valid', calibration, serial, calibration.dueAt],
    ['overdue', calibration, serial, '2027-05-02T08:00:01Z'],
    ['absent', calibration, serial, '2026-11-02T07:59:59Z'],
    ['absent', null, serial, '2026-11-25T10:00:00Z'],
    ['otherRig', calibration, 'VR0002', '2026-11-25T10:00:00Z'],
    ['absent', calibration, serial, 'not a date'],
    ['absent', { ...calibration, dueAt: '' }, serial, '2026-11-25T10:00:00Z'],
  ] as const)('is %s', (state, held, rig, now) => {
    const standing = calibrationState(held, rig, now);
    expect(standing.state).toBe(state);
    expect(standing.sentence).toMatch(/\.$/);
  });
});
