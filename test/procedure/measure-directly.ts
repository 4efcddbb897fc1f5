import type { Specimen } from '../../src/fader/specimen.ts';
import { trueLossDb, trueTotalOhm } from '../../src/fader/truth.ts';
import type { Law } from '../../src/law/build.ts';
import { runProcedure } from '../../src/procedure/engine.ts';
import { type PointCheckOptions, pointCheck } from '../../src/procedure/point-check.ts';
import type { RunResult } from '../../src/procedure/run-types.ts';
import { judgeFader } from '../../src/verdict/judge-fader.ts';
import type { FaderVerdict, JudgedCheck, JudgedPoint } from '../../src/verdict/readings.ts';
import { type DirectRig, measuredAt } from './direct-rig.ts';
import { simpleProfile } from './simple-profile.ts';

export interface MeasuredFader {
  readonly run: RunResult;
  readonly verdict: FaderVerdict;
}

/** One point check and its verdict, as the station does them. */
export async function measureDirectly(
  rig: DirectRig,
  specimen: Specimen,
  law: Law,
  options: Partial<PointCheckOptions> = {},
): Promise<MeasuredFader> {
  rig.load(specimen);
  const { calibration, limits } = rig;
  const procedure = pointCheck({ law, calibration, limits, profileFor: simpleProfile, options });
  const run = await runProcedure(procedure, rig, { nowMs: () => rig.nowUs() / 1000 }).done;
  const verdict = judgeFader({
    readings: run.readings,
    law,
    calibration,
    limits,
    rigSerial: rig.identity.serial,
    measuredAtIso: measuredAt,
    outcome: run.outcome,
    outcomeReason: run.reason,
  });
  return { run, verdict };
}

/** What an ideal instrument would find at a law point: deviation of the mean of both directions, dB. */
export function trueDeviationDb(specimen: Specimen, point: JudgedPoint): number {
  return trueLossDb(specimen, point.travelMm, 'mean') - point.lawDb;
}

export function trueValueOf(specimen: Specimen, check: JudgedCheck, law: Law): number {
  switch (check.name) {
    case 'closedLoss':
      return trueLossDb(specimen, 0, 'mean');
    case 'openLoss':
      return trueLossDb(specimen, law.travelMm, 'mean');
    case 'totalResistance':
      return trueTotalOhm(specimen);
    case 'play':
      return specimen.slide.playMm;
  }
}

/** How far a true value lies outside its limits, in U; negative = inside. */
export function outsideInU(
  value: number,
  { lower, upper, u }: { readonly lower: number | null; readonly upper: number | null; readonly u: number },
): number {
  return Math.max(lower === null ? -Infinity : lower - value, upper === null ? -Infinity : value - upper) / u;
}
