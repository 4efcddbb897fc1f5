import { bandOfPoint } from '../law/band.ts';
import type { Law } from '../law/build.ts';
import type { Budget } from '../trust/budget.ts';
import type { Calibration } from '../trust/calibration.ts';
import { directionExcessDb, localPlayMm, type MeasuredPlace, slideSpread, slopeForPosition } from '../trust/slope.ts';
import type { BudgetLimits } from '../trust/uncertainty.ts';
import { pointBudget } from '../trust/uncertainty.ts';
import { type DirectionFinding, lawSlope } from './measured-points.ts';
import type { JudgedPoint } from './readings.ts';
import { pointSentence } from './sentences.ts';
import { zoneOf } from './zones.ts';

/** Both directions of every point, in the order of the law. */
export interface PointFinding {
  readonly up: DirectionFinding;
  readonly down: DirectionFinding;
}

/** The measured curve, for slopes and play. A stepped fader stands on flat contacts: no slope there. */
export function measuredPlaces(law: Law, findings: readonly PointFinding[]): readonly MeasuredPlace[] {
  return law.points.map((point, index) => {
    const up = findings[index]?.up.measured ?? null;
    const down = findings[index]?.down.measured ?? null;
    const both = up !== null && down !== null;
    return {
      travelMm: point.travelMm,
      lossDb: both && law.interpolation !== 'stepped' ? point.lossDb + (up.deviationDb + down.deviationDb) / 2 : null,
      directionDifferenceDb: both && law.interpolation !== 'stepped' ? up.deviationDb - down.deviationDb : null,
      lawSlopeDbPerMm: lawSlope(law, index),
    };
  });
}

/** The budget of a point; null where a direction is missing. `playMm` = play of the whole fader. */
export function budgetOfPoint(
  pointIndex: number,
  finding: PointFinding,
  places: readonly MeasuredPlace[],
  playMm: number | null,
  calibration: Calibration,
  limits: BudgetLimits,
): Budget | null {
  const up = finding.up.measured;
  const down = finding.down.measured;
  const place = places[pointIndex];
  if (up === null || down === null || place === undefined) return null;
  return pointBudget(
    {
      ratio: Math.sqrt(up.ratio * down.ratio),
      trackCounts: (up.trackCounts + down.trackCounts) / 2,
      travelMm: place.travelMm,
      slopeDbPerMm: slopeForPosition(places, pointIndex, playMm),
      lawSlopeDbPerMm: place.lawSlopeDbPerMm,
      offsetMm: (up.travelMm + down.travelMm) / 2 - place.travelMm,
      noiseCounts: [up.noiseCounts, down.noiseCounts],
      noiseDegrees: up.noiseDegrees + down.noiseDegrees,
      readingUs: Math.min(up.readingUs, down.readingUs),
      playSdMm: playMm === null ? 0 : slideSpread(places, playMm).playSdMm,
      directionExcessDb: directionExcessDb(places, pointIndex, playMm),
    },
    calibration,
    limits,
  );
}

/**
 * Verdict on one law point: mean of both directions against the band on the point, guarded by U. A missing direction,
 * or a missing budget, is void.
 *
 * @param voidReason why nothing of this run may be judged; null = it may
 */
export function judgePoint(
  law: Law,
  pointIndex: number,
  finding: PointFinding,
  places: readonly MeasuredPlace[],
  budget: Budget | null,
  voidReason: string | null,
): JudgedPoint {
  const band = bandOfPoint(law, pointIndex);
  const point = law.points[pointIndex];
  const up = finding.up.measured?.deviationDb ?? null;
  const down = finding.down.measured?.deviationDb ?? null;
  const deviationDb = up !== null && down !== null ? (up + down) / 2 : null;
  const uncertaintyDb = budget?.expanded ?? null;
  const zone =
    voidReason !== null
      ? 'void'
      : zoneOf({ value: deviationDb, lower: band.lowerDb, upper: band.upperDb, uncertainty: uncertaintyDb });
  const judged: JudgedPoint = {
    pointIndex,
    travelMm: point?.travelMm ?? Number.NaN,
    lawDb: band.lossDb,
    lowerDb: band.lowerDb,
    upperDb: band.upperDb,
    upDeviationDb: up,
    downDeviationDb: down,
    deviationDb,
    uncertaintyDb,
    playMm: localPlayMm(places, pointIndex),
    zone,
    reason: null,
  };
  if (zone === 'pass') return judged;
  const gaps = [finding.up.problem, finding.down.problem].filter((problem) => problem !== null);
  const why = voidReason ?? (gaps.length > 0 ? gaps.join(' and ') : null);
  return { ...judged, reason: pointSentence(law, judged, why) };
}
