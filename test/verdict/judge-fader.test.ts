import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bandOfPoint } from '../../src/law/band.ts';
import type { Law } from '../../src/law/build.ts';
import { lossAt } from '../../src/law/curve.ts';
import { exampleLaw } from '../../src/law/examples.ts';
import { positionUmFor, travelMmOf } from '../../src/trust/apply.ts';
import { judgeFader } from '../../src/verdict/judge-fader.ts';
import type { JudgedReading, JudgeInput } from '../../src/verdict/readings.ts';
import { exampleCalibration as calibration, exampleLimits as limits } from '../trust/example-calibration.ts';

const law = exampleLaw('PF-104');
const trackCounts = 8_340_000;
const trackOhm = 10_000;
const playMm = 0.05;

/** Counts an ideal meter of this calibration would read for an unloaded loss. */
function countsFor(lossDb: number): number {
  const y = 10 ** (-lossDb / 20);
  const loaded = y / (1 + (y * (1 - y) * trackOhm) / 1e9);
  const { offsetCounts, trackOffsetCounts, gain } = calibration.meter;
  return loaded * (trackCounts - trackOffsetCounts) * gain + offsetCounts;
}

function reading(
  purpose: JudgedReading['purpose'],
  wiperCounts: number,
  more: Partial<JudgedReading> = {},
): JudgedReading {
  return {
    purpose,
    pointIndex: null,
    direction: 'still',
    positionUm: 0,
    integrationUs: 20_000,
    conversions: 5,
    wiperCounts,
    wiperSdCounts: 2.5,
    trackCounts,
    overRange: false,
    ...more,
  };
}

/** The readings of a fader that deviates from the law by so many dB at each point. */
function readingsOf(deviationsDb: (index: number) => number, used: Law = law): JudgedReading[] {
  const points = used.points.flatMap((point, pointIndex) =>
    (['up', 'down'] as const).map((direction) => {
      const positionUm = positionUmFor(point.travelMm, direction, calibration);
      const travelMm = travelMmOf(positionUm, direction, calibration);
      const lag = direction === 'up' ? -playMm / 2 : playMm / 2;
      const slope =
        ((lossAt(used, point.travelMm - 0.5) ?? point.lossDb) - (lossAt(used, point.travelMm + 0.5) ?? point.lossDb)) /
        1;
      const lossDb = (lossAt(used, travelMm) ?? point.lossDb) - lag * slope + deviationsDb(pointIndex);
      return reading('point', countsFor(lossDb), { pointIndex, direction, positionUm });
    }),
  );
  const share = trackOhm / (trackOhm + calibration.meter.seriesReferenceOhm);
  const ohms = share * limits.fullScaleCounts + calibration.meter.trackOffsetCounts;
  return [
    reading('closed', countsFor(85)),
    reading('totalResistance', 1_000, { trackCounts: ohms }),
    ...points,
    reading('open', countsFor(0.01)),
  ];
}

const inputFor = (readings: readonly JudgedReading[], more: Partial<JudgeInput> = {}): JudgeInput => ({
  readings,
  law,
  calibration,
  limits,
  rigSerial: calibration.rigSerial,
  measuredAtIso: '2026-11-25T10:00:00Z',
  outcome: 'completed',
  outcomeReason: null,
  ...more,
});
const good = readingsOf(() => 0);

describe('a fader on its law', () => {
  it('passes, with every deviation nought, its play and resistance found', () => {
    const verdict = judgeFader(inputFor(good));
    expect(verdict.verdict).toBe('pass');
    for (const point of verdict.points) {
      expect(Math.abs(point.deviationDb ?? Number.NaN)).toBeLessThan(0.002);
      expect(point.reason).toBeNull();
    }
    const value = (name: string) => verdict.checks.find((check) => check.name === name)?.value;
    expect(value('play')).toBeCloseTo(playMm, 3);
    expect(value('totalResistance')).toBeCloseTo(trackOhm, 0);
    expect(value('closedLoss')).toBeCloseTo(85, 2);
    expect(value('openLoss')).toBeCloseTo(0.01, 3);
  });

  it('gives the same verdict for the same readings', () => {
    expect(judgeFader(inputFor(good))).toEqual(judgeFader(inputFor(structuredClone(good))));
  });
});

describe('a fader off its law', () => {
  it('fails by the point, with the words of the point', () => {
    const verdict = judgeFader(inputFor(readingsOf((index) => (index === 10 ? 1.32 : 0))));
    expect(verdict.verdict).toBe('fail');
    expect(verdict.worstPointIndex).toBe(10);
    expect(verdict.worstDeviationDb).toBeCloseTo(1.32, 2);
    expect(verdict.reason).toMatch(
      /^Point 11 of 21 at 48\.0 mm: 1\.32\d* dB too quiet, limit 1\.00 dB, U 0\.\d+ dB\.$/,
    );
    expect(verdict.nextStep).not.toBe('');
  });

  it.each([
    ['two points', [9, 10], 10_000, /U \S+ dB; 1 more point\.$/],
    ['a point and the track', [10], 30_000, /^Point 11 .*; also 1 check\.$/],
    ['points and the track', [9, 10, 11], 30_000, /^Point \d+ .*; 2 more points and 1 check\.$/],
    ['the track alone', [], 30_000, /^Total resistance .* allowed, U \d+ ohm\.$/],
  ] as const)('tells the worst and counts points and checks apart: %s', (_name, off, ohm, says) => {
    const share = ohm / (ohm + calibration.meter.seriesReferenceOhm);
    const seen = share * limits.fullScaleCounts + calibration.meter.trackOffsetCounts;
    const readings = readingsOf((index) => (off.some((one) => one === index) ? 1.32 : 0)).map((one) =>
      one.purpose === 'totalResistance' ? { ...one, trackCounts: seen } : one,
    );
    const verdict = judgeFader(inputFor(readings));
    expect(verdict.verdict).toBe('fail');
    expect(verdict.reason).toMatch(says);
  });

  it('finds back whatever deviation was put in, and words it by zone', () => {
    // Nothing is louder than the feed: the last points leave no room for -4 dB.
    const index = fc.integer({ min: 2, max: law.points.length - 5 });
    fc.assert(
      fc.property(index, fc.double({ min: -4, max: 4, noNaN: true }), (at, deviation) => {
        const verdict = judgeFader(inputFor(readingsOf((i) => (i === at ? deviation : 0))));
        const point = verdict.points[at];
        expect(point?.deviationDb).toBeCloseTo(deviation, 2);
        const band = bandOfPoint(law, at);
        const u = point?.uncertaintyDb ?? Number.NaN;
        const outside = Math.max(band.lowerDb - deviation, deviation - (band.upperDb ?? Infinity));
        if (outside > u + 0.01) expect(verdict.verdict).toBe('fail');
        else if (outside < -u - 0.01) expect(verdict.verdict).toBe('pass');
        else if (Math.abs(outside) < u - 0.01) expect(verdict.verdict).toBe('doubt');
      }),
    );
  });

  it('names the worst by its own limit, not by its dB', () => {
    const verdict = judgeFader(inputFor(readingsOf((index) => (index === 3 ? -2 : index === 15 ? 0.45 : 0))));
    expect(verdict.worstPointIndex).toBe(15);
  });

  it('lets a quieter point through where the law only says "at or below"', () => {
    expect(judgeFader(inputFor(readingsOf((index) => (index === 0 ? 9 : 0)))).points[0]?.zone).toBe('pass');
    expect(judgeFader(inputFor(readingsOf((index) => (index === 0 ? -9 : 0)))).points[0]?.zone).toBe('fail');
  });
});

describe('nothing passes that was not measured', () => {
  const without = (isGone: (reading: JudgedReading) => boolean): JudgedReading[] => good.filter((r) => !isGone(r));
  const changed = (isIt: (reading: JudgedReading) => boolean, more: Partial<JudgedReading>): JudgedReading[] =>
    good.map((r) => (isIt(r) ? { ...r, ...more } : r));
  const isPointUp = (r: JudgedReading): boolean => r.pointIndex === 7 && r.direction === 'up';

  it('is void when any one reading is missing', () => {
    for (let i = 0; i < good.length; i += 1) {
      expect(judgeFader(inputFor(good.filter((_, k) => k !== i))).verdict, `reading ${i}`).toBe('void');
    }
    expect(judgeFader(inputFor([])).verdict).toBe('void');
  });

  it.each([
    ['over range', { overRange: true }],
    ['no number', { wiperCounts: Number.NaN }],
    ['dead wiper', { wiperCounts: 0 }],
    ['no feed', { trackCounts: 0 }],
    ['unsteady contact', { wiperSdCounts: 50_000 }],
    ['another place', { positionUm: 20_000 }],
  ])('is void at a point with %s', (_, more) => {
    const verdict = judgeFader(inputFor(changed(isPointUp, more)));
    expect(verdict.verdict).toBe('void');
    expect(verdict.points[7]).toMatchObject({ zone: 'void', deviationDb: null, uncertaintyDb: null });
    expect(verdict.points[7]?.reason).toContain('moving up');
    expect(verdict.points[8]?.zone).toBe('pass');
  });

  it('is void with the sentence of the calibration when that does not hold', () => {
    for (const more of [
      { calibration: null },
      { rigSerial: 'VR0002' },
      { measuredAtIso: '2028-01-01T00:00:00Z' },
      { measuredAtIso: 'yesterday' },
    ]) {
      const verdict = judgeFader(inputFor(good, more));
      expect(verdict.verdict).toBe('void');
      expect(verdict.points.every((point) => point.zone === 'void')).toBe(true);
      expect(verdict.reason.toLowerCase()).toContain('calibration');
    }
  });

  it('is void when the run did not complete, with its reason', () => {
    for (const outcome of ['stopped', 'void'] as const) {
      const verdict = judgeFader(inputFor(good, { outcome, outcomeReason: 'The guard was opened.' }));
      expect(verdict).toMatchObject({ verdict: 'void', reason: 'The guard was opened.' });
    }
  });

  it('is void when the fader sits shifted in its clamp', () => {
    const expectedEnds = { closedMm: 0.8, openMm: 102.9, shiftLimitMm: 0.3 };
    const shifted = inputFor(good, { expectedEnds, ends: { closedMm: 1.5, openMm: 103.6 } });
    expect(judgeFader(shifted)).toMatchObject({ verdict: 'void', reason: expect.stringContaining('0.70 mm') });
    const seated = inputFor(good, { expectedEnds, ends: { closedMm: 0.9, openMm: 102.8 } });
    expect(judgeFader(seated).verdict).toBe('pass');
  });

  it('takes the later of two readings of a place, both kept', () => {
    const again = changed(isPointUp, { wiperCounts: 0 }).concat(good.filter(isPointUp));
    expect(judgeFader(inputFor(again)).verdict).toBe('pass');
    expect(
      judgeFader(inputFor(without(() => false).concat(changed(isPointUp, { wiperCounts: 0 }).filter(isPointUp))))
        .verdict,
    ).toBe('void');
  });
});

describe('checks', () => {
  const check = (name: string, readings: readonly JudgedReading[]) =>
    judgeFader(inputFor(readings)).checks.find((one) => one.name === name);
  const withClosed = (wiperCounts: number): JudgedReading[] =>
    good.map((r) => (r.purpose === 'closed' ? { ...r, wiperCounts } : r));

  it('judge a silent closed stop by what the meter can resolve', () => {
    const silent = check('closedLoss', withClosed(calibration.meter.offsetCounts - 1));
    expect(silent).toMatchObject({ zone: 'pass', value: null });
    expect(silent?.reason).toContain('at least');
    expect(check('closedLoss', withClosed(countsFor(60)))?.zone).toBe('fail');
    expect(check('closedLoss', withClosed(countsFor(66)))?.zone).toBe('doubt');
  });

  it('judge loss at the load the law is stated for', () => {
    const loaded: Law = { ...law, loadOhm: 10_000 };
    const verdict = judgeFader(inputFor(good, { law: loaded }));
    const index = law.points.findIndex((point) => point.lossDb === 5);
    const y = 10 ** (-5 / 20);
    // Source resistance at the wiper is Rp y (1 - y) for any taper: the load adds 20 log10(1 + y (1 - y) / m), here m = 1.
    expect(verdict.points[index]?.deviationDb).toBeCloseTo(20 * Math.log10(1 + y * (1 - y)), 2);
  });
});
