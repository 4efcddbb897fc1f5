import fc from 'fast-check';
import type { CheckRecord, PointRecord, ReadingRecord, RunRecord, TraceRecord } from '../../src/archive/records.ts';
import { exampleCalibration, exampleLaw } from './example-runs.ts';

/** Any finite number; never -0, which SQLite stores as 0. */
const anyNumber = fc.double({ noNaN: true, noDefaultInfinity: true }).map((value) => value + 0);
const numberOrGap = fc.option(anyNumber, { nil: null });
/** Any well-formed text, hostile ones included. */
const anyText = fc.oneof(
  fc.string({ unit: 'binary' }),
  fc.string({ unit: 'grapheme' }),
  fc.constantFrom("'; DROP TABLE runs; --", '"', '%_\\', '=1+1', '\u0000nul\u0000', '\r\n', 'ÅÄÖ ラ 🎚', '', ' '),
);
const textOrGap = fc.option(anyText, { nil: null });
const index = fc.nat({ max: 2 ** 31 - 1 });
const anyTime = fc
  .date({ min: new Date('2000-01-01T00:00:00Z'), max: new Date('2099-12-31T00:00:00Z'), noInvalidDate: true })
  .chain((date) => fc.constantFrom(date.toISOString(), date.toISOString().replace(/\.\d+Z/, 'Z')));
const zone = fc.constantFrom('doubt' as const, 'fail' as const, 'void' as const);

const reading: fc.Arbitrary<ReadingRecord> = fc.record({
  sequence: index,
  purpose: fc.constantFrom('point' as const, 'closed' as const, 'open' as const, 'totalResistance' as const),
  pointIndex: fc.option(index, { nil: null }),
  direction: fc.constantFrom('up' as const, 'down' as const, 'still' as const),
  targetMm: anyNumber,
  positionUm: anyNumber,
  rigClockUs: fc.oneof(anyNumber, fc.maxSafeNat()),
  integrationUs: fc.nat(),
  conversions: fc.nat(),
  wiperCounts: anyNumber,
  wiperSdCounts: numberOrGap,
  trackCounts: anyNumber,
  overRange: fc.boolean(),
  travelMm: numberOrGap,
  ratio: numberOrGap,
  lossDb: numberOrGap,
});

const point: fc.Arbitrary<PointRecord> = fc.record({
  pointIndex: index,
  travelMm: anyNumber,
  lawDb: anyNumber,
  lowerDb: anyNumber,
  upperDb: numberOrGap,
  upDeviationDb: numberOrGap,
  downDeviationDb: numberOrGap,
  deviationDb: numberOrGap,
  uncertaintyDb: numberOrGap,
  playMm: numberOrGap,
  zone,
  reason: textOrGap,
});

const check: fc.Arbitrary<CheckRecord> = fc.record({
  name: fc.constantFrom('closedLoss' as const, 'openLoss' as const, 'totalResistance' as const, 'play' as const),
  unit: fc.constantFrom('dB' as const, 'ohm' as const, 'mm' as const),
  value: numberOrGap,
  lower: numberOrGap,
  upper: numberOrGap,
  uncertainty: numberOrGap,
  zone,
  reason: textOrGap,
});

const sample = fc.tuple(
  fc.nat({ max: 2 ** 32 - 1 }),
  fc.integer(),
  fc.double(), // traces are kept bit for bit, NaN and -0 included
  fc.integer(),
);
const trace: fc.Arbitrary<TraceRecord> = fc
  .tuple(fc.constantFrom('closedEnd' as const, 'openEnd' as const), anyNumber, anyNumber, fc.array(sample))
  .map(([purpose, samplePeriodUs, trackCounts, samples]) => ({
    purpose,
    samplePeriodUs,
    trackCounts,
    counter: Uint32Array.from(samples, (s) => s[0]),
    positionUm: Int32Array.from(samples, (s) => s[1]),
    rigClockUs: Float64Array.from(samples, (s) => s[2]),
    wiperCounts: Int32Array.from(samples, (s) => s[3]),
  }));

function ordered<T>(item: fc.Arbitrary<T>, key: (value: T) => number): fc.Arbitrary<T[]> {
  const compare = (a: T, b: T): number => key(a) - key(b);
  return fc.uniqueArray(item, { selector: key, maxLength: 12 }).map((items) => items.sort(compare));
}

/** Any run the archive must take against the example law: never a pass, else without limits. */
export const anyRun: fc.Arbitrary<RunRecord> = fc.record({
  runId: fc.uuid(),
  serial: anyText.filter((text) => text !== ''),
  batch: textOrGap,
  job: fc.constantFrom('trim' as const, 'goodsIn' as const, 'retest' as const, 'measure' as const),
  operator: anyText,
  startedAt: anyTime,
  endedAt: anyTime,
  outcome: fc.constantFrom('completed' as const, 'stopped' as const),
  outcomeReason: anyText.filter((text) => text !== ''),
  verdict: zone,
  verdictReason: anyText,
  lawId: fc.constant(exampleLaw.id),
  lawRevision: fc.constant(exampleLaw.revision),
  calibrationId: fc.constantFrom(null, exampleCalibration.id),
  rig: fc.option(
    fc.record({ model: anyText, serial: anyText, firmware: anyText, protocol: fc.nat(), isVirtual: fc.boolean() }),
    { nil: null },
  ),
  programVersion: anyText,
  rigLimits: fc.option(fc.dictionary(fc.string({ minLength: 1 }), anyNumber), { nil: null }),
  closedEndMm: numberOrGap,
  openEndMm: numberOrGap,
  worstPointIndex: fc.option(index, { nil: null }),
  worstDeviationDb: numberOrGap,
  readings: ordered(reading, (value) => value.sequence),
  points: ordered(point, (value) => value.pointIndex),
  checks: fc.uniqueArray(check, { selector: (value) => value.name, maxLength: 4 }),
  traces: fc.array(trace, { maxLength: 2 }),
});
