/** Years later: a run read back from its archive, judged again from its raw readings, gives the verdict it was given. */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openArchive } from '../../src/archive/open.ts';
import type { RunRecord } from '../../src/archive/records.ts';
import { buildLaw, type Law } from '../../src/law/build.ts';
import type { RigLimits } from '../../src/procedure/rig-port.ts';
import type { ProcedureTrace } from '../../src/procedure/steps.ts';
import { judgeRun } from '../../src/station/run-record.ts';
import type { Calibration } from '../../src/trust/calibration.ts';
import { judgeFader } from '../../src/verdict/judge-fader.ts';
import { type InProcessBench, openBench } from './bench-in-process.ts';

let bench: InProcessBench;
let kept: { readonly run: RunRecord; readonly law: Law; readonly calibration: Calibration }[] = [];

beforeAll(async () => {
  bench = await openBench({ seed: 20261125, size: 12, faultShare: 0.7 });
  for (let index = 0; index < 12; index += 1) await bench.measure(index);
  await bench.clock.runUntil(bench.station.rigDesk.disconnect());
  bench.station.archive.close();
  // As another program would, from the file alone.
  const archive = openArchive(join(bench.folder, 'bench.sqlite'), { programVersion: 'later', now: () => new Date() });
  kept = archive.findRuns({}).map(({ runId }) => {
    const run = archive.run(runId);
    const law = run === null ? null : archive.law(run.lawId, run.lawRevision);
    const calibration = run?.calibrationId == null ? null : archive.calibration(run.calibrationId);
    if (run === null || law === null || calibration === null) throw new Error(`${runId} cannot be traced`);
    return { run, law: buildLaw(law.data), calibration: calibration.data as Calibration };
  });
  archive.close();
}, 120_000);

afterAll(() => {
  bench.rig.close();
  rmSync(bench.folder, { recursive: true, force: true });
});

const limitsOf = ({ rigLimits }: RunRecord): RigLimits => {
  if (rigLimits === null) throw new Error('a measured run has the limits of its rig');
  return rigLimits as unknown as RigLimits;
};

describe('a run read back from the archive', () => {
  it('has a batch behind it in which not everything is the same', () => {
    expect(kept).toHaveLength(12);
    expect(new Set(kept.map(({ run }) => run.verdict)).size).toBeGreaterThan(1);
  });

  it('judged again from stored readings, law and calibration is identical, point by point', () => {
    for (const { run, law, calibration } of kept) {
      const verdict = judgeFader({
        readings: run.readings,
        law,
        calibration,
        limits: limitsOf(run),
        rigSerial: run.rig?.serial ?? '',
        measuredAtIso: run.startedAt,
        outcome: run.outcome,
        outcomeReason: run.outcomeReason,
        ends: { closedMm: run.closedEndMm, openMm: run.openEndMm },
      });
      expect(verdict.points).toEqual(run.points);
      expect(verdict.checks).toEqual(run.checks);
      expect({ verdict: verdict.verdict, reason: verdict.reason }).toEqual({
        verdict: run.verdict,
        reason: run.verdictReason,
      });
      expect([verdict.worstPointIndex, verdict.worstDeviationDb]).toEqual([run.worstPointIndex, run.worstDeviationDb]);
    }
  });

  it('made again whole, ends and calibrated values included, is the stored record', () => {
    for (const { run, law, calibration } of kept) {
      if (run.rig === null) throw new Error('measured without a rig');
      const { runId, serial, batch, job, operator, startedAt, endedAt, programVersion } = run;
      const frame = { runId, serial, batch, job, operator, startedAt, endedAt, programVersion };
      const { record } = judgeRun(
        { ...frame, law, calibration, identity: run.rig, limits: limitsOf(run) },
        { outcome: run.outcome, reason: run.outcomeReason, readings: run.readings, traces: run.traces.map(asTrace) },
      );
      expect(record).toEqual(run);
    }
  });

  it('notices a reading that was altered', () => {
    const { run, law, calibration } = kept[0] ?? {};
    if (run === undefined || law === undefined || calibration === undefined) throw new Error('no run');
    const readings = run.readings.map((reading) =>
      reading.purpose === 'point' && reading.pointIndex === 10
        ? { ...reading, wiperCounts: reading.wiperCounts * 1.02 }
        : reading,
    );
    const verdict = judgeFader({
      ...{ readings, law, calibration, limits: limitsOf(run), rigSerial: run.rig?.serial ?? '' },
      ...{ measuredAtIso: run.startedAt, outcome: run.outcome, outcomeReason: run.outcomeReason },
      ends: { closedMm: run.closedEndMm, openMm: run.openEndMm },
    });
    const shift = (verdict.points[10]?.deviationDb ?? Number.NaN) - (run.points[10]?.deviationDb ?? Number.NaN);
    expect(shift).toBeCloseTo(-20 * Math.log10(1.02), 3);
  });
});

function asTrace({
  counter,
  positionUm,
  rigClockUs,
  wiperCounts,
  ...trace
}: RunRecord['traces'][number]): ProcedureTrace {
  return {
    ...trace,
    samplesSent: counter.length,
    samples: Array.from(counter, (number, index) => ({
      counter: number,
      positionUm: positionUm[index] ?? Number.NaN,
      rigClockUs: rigClockUs[index] ?? Number.NaN,
      wiperCounts: wiperCounts[index] ?? Number.NaN,
    })),
  };
}
