/** Seeded run records for the report tests: plausible curves, every verdict, gaps and void runs on request. */
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { CheckRecord, PointRecord, RunRecord, VerdictWord } from '../../src/archive/records.ts';
import { bandAt } from '../../src/law/band.ts';
import type { LawData } from '../../src/law/law.ts';
import type { Calibration } from '../../src/trust/calibration.ts';
import { programmeFader } from './sample-laws.ts';

export const sampleCalibration: Calibration = {
  id: 'cal-VR0001-2026-11-20T08:30:00Z',
  rigSerial: 'VR0001',
  madeAt: '2026-11-20T08:30:00Z',
  dueAt: '2027-05-20T08:30:00Z',
  source: 'gauges',
  madeBy: 'KD',
  position: {
    scale: 1,
    zeroMm: 0,
    backlashMm: 0.04,
    uZeroMm: 0.005,
    uBacklashMm: 0.005,
    uScale: 2e-5,
    screwAmplitudeMm: 0.01,
    uHomeMm: 0.01,
  },
  meter: {
    offsetCounts: 0,
    trackOffsetCounts: 0,
    gain: 1,
    uOffsetCounts: 2,
    uGain: 2e-5,
    nonLinearity: 5e-6,
    seriesReferenceOhm: 10_000,
    uSeriesReference: 1e-4,
  },
};

/** Guard-band decision of the tests' own, so that the samples do not depend on the program's verdict. */
const zoneOf = (value: number, lower: number | null, upper: number | null, u: number): VerdictWord => {
  const below = lower === null ? Number.NEGATIVE_INFINITY : lower - value;
  const above = upper === null ? Number.NEGATIVE_INFINITY : value - upper;
  const beyond = Math.max(below, above);
  if (beyond > u) return 'fail';
  return beyond > -u ? 'doubt' : 'pass';
};

/** A point verdict from its deviations; null = not measured. */
export function samplePoint(
  law: LawData,
  pointIndex: number,
  deviationDb: number | null,
  uncertaintyDb = 0.04,
): PointRecord {
  const lawPoint = law.points[pointIndex];
  const band = lawPoint === undefined ? null : bandAt(law, lawPoint.travelMm);
  if (lawPoint === undefined || band === null) throw new RangeError(`no point ${pointIndex}`);
  const measured = deviationDb !== null;
  return {
    pointIndex,
    travelMm: lawPoint.travelMm,
    lawDb: lawPoint.lossDb,
    lowerDb: band.lowerDb,
    upperDb: band.upperDb,
    upDeviationDb: measured ? deviationDb + 0.01 : null,
    downDeviationDb: measured ? deviationDb - 0.01 : null,
    deviationDb,
    uncertaintyDb: measured ? uncertaintyDb : null,
    playMm: measured ? 0.041 : null,
    zone: measured ? zoneOf(deviationDb, band.lowerDb, band.upperDb, uncertaintyDb) : 'void',
    reason: measured ? null : 'not measured: the meter was over range',
  };
}

const severity: readonly VerdictWord[] = ['pass', 'doubt', 'fail', 'void'];

/** A run from one deviation per law point; null = a gap, which makes the run void. */
export function sampleRun(
  serial: string,
  deviationsDb: readonly (number | null)[],
  more: Partial<RunRecord> = {},
  law: LawData = programmeFader,
  totalOhm = 10_120,
): RunRecord {
  const points = deviationsDb.map((deviation, index) => samplePoint(law, index, deviation));
  const { nominalOhm, toleranceFraction } = law.resistance;
  const [lower, upper] = [nominalOhm * (1 - toleranceFraction), nominalOhm * (1 + toleranceFraction)];
  const check = (
    name: CheckRecord['name'],
    unit: CheckRecord['unit'],
    value: number,
    limits: [number | null, number | null],
    u: number,
  ): CheckRecord => ({
    name,
    unit,
    value,
    lower: limits[0],
    upper: limits[1],
    uncertainty: u,
    zone: zoneOf(value, limits[0], limits[1], u),
    reason: null,
  });
  const checks = [
    check('closedLoss', 'dB', law.closedMinLossDb + 7.3, [law.closedMinLossDb, null], 0.6),
    check('openLoss', 'dB', 0.03, [null, law.openMaxLossDb], 0.01),
    check('totalResistance', 'ohm', totalOhm, [lower, upper], nominalOhm * 0.002),
    check('play', 'mm', 0.047, [null, law.limits.maxPlayMm ?? null], 0.012),
  ];
  const usage = (point: PointRecord): number => {
    if (point.deviationDb === null) return -1;
    const limit = point.deviationDb < 0 ? point.lowerDb : (point.upperDb ?? 99);
    return Math.abs(point.deviationDb / limit);
  };
  const worst = [...points].sort((a, b) => usage(b) - usage(a)).find((point) => point.deviationDb !== null);
  const verdict = severity[Math.max(...[...points, ...checks].map(({ zone }) => severity.indexOf(zone)))] ?? 'void';
  const reasons: Record<VerdictWord, string> = {
    pass: 'every point and check lies inside its limits by more than U',
    doubt: `within U of a limit at ${worst?.travelMm.toFixed(1)} mm`,
    fail: 'outside its limits by more than U',
    void: 'not every law point was measured',
  };
  return {
    runId: `run-${serial}`,
    serial,
    batch: 'TFW-26-48',
    job: 'goodsIn',
    operator: 'KD',
    startedAt: '2026-11-25T09:12:00Z',
    endedAt: '2026-11-25T09:12:14.2Z',
    outcome: 'completed',
    outcomeReason: null,
    verdict,
    verdictReason: reasons[verdict],
    lawId: law.id,
    lawRevision: law.revision,
    calibrationId: sampleCalibration.id,
    rig: { model: 'bench-1', serial: 'VR0001', firmware: '1.2.0', protocol: 1, isVirtual: false },
    programVersion: '0.1.0',
    rigLimits: null,
    closedEndMm: 0.82,
    openEndMm: 102.94,
    worstPointIndex: worst?.pointIndex ?? null,
    worstDeviationDb: worst?.deviationDb ?? null,
    readings: [],
    points,
    checks,
    traces: [],
    ...more,
  };
}

export interface BatchOptions {
  readonly size: number;
  readonly seed: number;
  readonly law?: LawData;
  /** Share of faders with a joint between inks that is too quiet below it. */
  readonly faultShare?: number;
  /** Share of faders with missing points. */
  readonly voidShare?: number;
  readonly isVirtual?: boolean;
}

/** Faders of one batch: a slope, a ripple and a sheet position each, in shares of the local tolerance. */
export function sampleBatch({ size, seed, law = programmeFader, ...options }: BatchOptions): RunRecord[] {
  const random = xoroshiro128plus(seed);
  const even = (from: number, to: number): number =>
    from + ((to - from) * uniformInt(random, 0, 1_000_000)) / 1_000_000;
  const part = law.id.replace('-', '');
  return Array.from({ length: size }, (_, index) => {
    const [slope, ripple, phase, offset] = [even(-0.45, 0.55), even(0.05, 0.28), even(0, 6.3), even(-0.15, 0.2)];
    const faulty = even(0, 1) < (options.faultShare ?? 0);
    const holed = even(0, 1) < (options.voidShare ?? 0);
    const deviations = law.points.map((point, pointIndex) => {
      const at = point.travelMm / law.travelMm;
      const joint = faulty && at < 0.45 && at > 0.2 ? even(0.8, 1.3) : 0;
      const share = offset + slope * (1 - at) + ripple * Math.sin(phase + at * 24) + joint;
      const gapped = holed && (pointIndex === 6 || pointIndex === 7 || pointIndex === 9);
      return gapped ? null : Math.round(share * point.minusDb * 1e4) / 1e4;
    });
    const serial = `${part}-26-48-${String(index + 1).padStart(5, '0')}`;
    const started = Date.parse('2026-11-25T09:12:00Z') + index * 21_000;
    const took = even(13_400, 15_600);
    const iso = (at: number): string => new Date(at).toISOString();
    const base = sampleRun(serial, deviations, {}, law, law.resistance.nominalOhm * even(0.86, 1.16));
    return {
      ...base,
      runId: `${seed}-${index}`,
      startedAt: iso(started),
      endedAt: iso(started + took),
      rig: base.rig === null ? null : { ...base.rig, isVirtual: options.isVirtual ?? false },
    };
  });
}
