/** Runs for the window's fixture: seeded, with readings, glides over both ends, repeated attempts and every verdict. */
import { uniformInt } from 'pure-rand/distribution/uniformInt';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { ReadingRecord, RunRecord, RunSummary, TraceRecord } from '../../../../src/archive/records.ts';
import type { LawData } from '../../../../src/law/law.ts';
import { sampleBatch } from '../../../report/sample-runs.ts';

type Noise = (halfWidth: number) => number;

function noiseOf(seed: number): Noise {
  const random = xoroshiro128plus(seed);
  return (halfWidth) => (uniformInt(random, -1_000_000, 1_000_000) / 1_000_000) * halfWidth;
}

const trackCounts = 7_900_000;

/** Both passes over the points, as a run would have read them. */
export function readingsOf(run: RunRecord, noise: Noise): readonly ReadingRecord[] {
  const measured = run.points.filter((point) => point.deviationDb !== null);
  const passes = [
    ...measured.map((point) => ({ point, direction: 'up' as const })),
    ...measured.toReversed().map((point) => ({ point, direction: 'down' as const })),
  ];
  return passes.map(({ point, direction }, index) => {
    const deviation = (direction === 'up' ? point.upDeviationDb : point.downDeviationDb) ?? 0;
    const lossDb = point.lawDb + deviation;
    const ratio = 10 ** (-lossDb / 20);
    return {
      sequence: index + 1,
      purpose: 'point',
      pointIndex: point.pointIndex,
      direction,
      targetMm: point.travelMm,
      positionUm: Math.round(point.travelMm * 1000 + 310 + noise(4)),
      rigClockUs: 1_204_000_000 + index * 287_431,
      integrationUs: 20_000,
      conversions: 20,
      wiperCounts: Math.round(ratio * trackCounts * 10) / 10,
      wiperSdCounts: Math.round((4 + noise(2)) * 10) / 10,
      trackCounts,
      overRange: false,
      travelMm: point.travelMm + noise(0.004),
      ratio,
      lossDb,
    };
  });
}

/** A glide over one end; `samples` many, with a few lost on the line. */
export function glideOf(purpose: TraceRecord['purpose'], samples: number, noise: Noise, travelMm: number): TraceRecord {
  const counter = new Uint32Array(samples);
  const positionUm = new Int32Array(samples);
  const rigClockUs = new Float64Array(samples);
  const wiperCounts = new Int32Array(samples);
  const spanMm = 6;
  const startMm = purpose === 'closedEnd' ? 0 : travelMm - spanMm;
  let number = 0;
  for (let at = 0; at < samples; at += 1) {
    number += at === Math.floor(samples * 0.42) ? 9 : 1;
    const mm = startMm + (spanMm * at) / samples;
    const intoTrack = purpose === 'closedEnd' ? Math.max(0, mm - 0.82) : Math.max(0, travelMm - 1.06 - mm);
    const share =
      purpose === 'closedEnd'
        ? 0.00002 + 0.00041 * intoTrack + (intoTrack > 0 ? 0.00006 * Math.sin(mm * 40) ** 8 : 0)
        : 0.9996 - 0.0462 * intoTrack;
    counter[at] = number;
    positionUm[at] = Math.round(mm * 1000);
    rigClockUs[at] = 1_230_000_000 + number * 200;
    wiperCounts[at] = Math.round(share * trackCounts + noise(purpose === 'closedEnd' ? 40 : 900));
  }
  return { purpose, samplePeriodUs: 200, trackCounts, counter, positionUm, rigClockUs, wiperCounts };
}

export const summaryOf = (run: RunRecord): RunSummary => ({
  runId: run.runId,
  serial: run.serial,
  batch: run.batch,
  job: run.job,
  operator: run.operator,
  startedAt: run.startedAt,
  endedAt: run.endedAt,
  outcome: run.outcome,
  outcomeReason: run.outcomeReason,
  verdict: run.verdict,
  verdictReason: run.verdictReason,
  lawId: run.lawId,
  lawRevision: run.lawRevision,
  isVirtual: run.rig?.isVirtual === true,
  worstPointIndex: run.worstPointIndex,
  worstDeviationDb: run.worstDeviationDb,
});

/** Newest first, as the archive answers. Some serials are measured again, two runs were broken off. */
export function fixtureRuns(law: LawData, size: number, seed: number, isVirtual: boolean): readonly RunRecord[] {
  const noise = noiseOf(seed);
  const first = sampleBatch({ size, seed, law, faultShare: 0.06, voidShare: 0.015, isVirtual });
  const again = first
    .filter((_, index) => index % 9 === 4)
    .map((run, index) => {
      const startedMs = Date.parse(run.startedAt) + 86_400_000 + index * 30_000;
      return {
        ...run,
        runId: `${run.runId}-again`,
        startedAt: new Date(startedMs).toISOString(),
        endedAt: new Date(startedMs + 14_000).toISOString(),
        job: 'retest' as const,
      };
    });
  const broken = first.slice(3, 5).map((run) => ({
    ...run,
    runId: `${run.runId}-broken`,
    startedAt: new Date(Date.parse(run.startedAt) - 60_000).toISOString(),
    endedAt: new Date(Date.parse(run.startedAt) - 55_000).toISOString(),
    outcome: 'void' as const,
    outcomeReason: 'The guard was opened during the run. Close it and measure again.',
    verdict: 'void' as const,
    verdictReason: 'The guard was opened during the run.',
    points: run.points.map((point, index) =>
      index < 6
        ? { ...point, zone: 'void' as const }
        : {
            ...point,
            upDeviationDb: null,
            downDeviationDb: null,
            deviationDb: null,
            uncertaintyDb: null,
            playMm: null,
            zone: 'void' as const,
            reason: 'not measured',
          },
    ),
    traces: [],
  }));
  return [...first, ...again, ...broken]
    .map((run) => ({
      ...run,
      readings: readingsOf(run, noise),
      rigLimits: { fullScaleCounts: 8_388_608, meterInputKiloohm: 10_000, travelUm: 110_000, maxSpeedUmPerS: 120_000 },
    }))
    .toSorted((a, b) => b.startedAt.localeCompare(a.startedAt));
}

export const glidesOf = (law: LawData, seed: number, samples = 50_000): readonly TraceRecord[] => {
  const noise = noiseOf(seed);
  return [glideOf('closedEnd', samples, noise, law.travelMm), glideOf('openEnd', 4_000, noise, law.travelMm)];
};
