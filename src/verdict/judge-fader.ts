import { bandOfPoint } from '../law/band.ts';
import type { Law } from '../law/build.ts';
import { calibrationState } from '../trust/calibration-state.ts';
import { playFromDirections } from '../trust/slope.ts';
import { judgeChecks, measureTotalResistance } from './judge-checks.ts';
import { budgetOfPoint, judgePoint, measuredPlaces, type PointFinding } from './judge-point.ts';
import { measureDirection } from './measured-points.ts';
import type { FaderVerdict, JudgedCheck, JudgedPoint, JudgeInput } from './readings.ts';
import { nextSteps } from './sentences.ts';
import { shareOfLimit, worstZone, type Zone } from './zones.ts';

/**
 * The verdict on a fader from the raw readings of one run. Pure and recomputable: the same readings, law, calibration
 * and circumstances give the same verdict. Whatever is missing is void, never pass.
 */
export function judgeFader(input: JudgeInput): FaderVerdict {
  const { law, calibration } = input;
  const standing = calibrationState(calibration, input.rigSerial, input.measuredAtIso);
  if (calibration === null) return allVoid(law, standing.sentence);
  const voidReason = runProblem(input) ?? (standing.state === 'valid' ? null : standing.sentence);

  const bare = { law, calibration, limits: input.limits, readings: input.readings };
  const total = measureTotalResistance(bare);
  // The nominal value serves for the tiny loading corrections only; the check itself stays a gap.
  const context = { ...bare, trackOhm: total.value ?? law.resistance.nominalOhm };
  const findings: PointFinding[] = law.points.map((_, index) => ({
    up: measureDirection(index, 'up', context),
    down: measureDirection(index, 'down', context),
  }));
  const places = measuredPlaces(law, findings);
  const playMm = playFromDirections(places)?.playMm ?? null;
  const points = findings.map((finding, index) => {
    const budget = budgetOfPoint(index, finding, places, playMm, calibration, input.limits);
    return judgePoint(law, index, finding, places, budget, voidReason);
  });
  const checks = judgeChecks(context, total, findings, places, voidReason);
  return summarise(points, checks, voidReason);
}

/** What spoils the whole run, or null. */
function runProblem(input: JudgeInput): string | null {
  if (input.outcome === 'stopped') return input.outcomeReason ?? 'The run was stopped before its end.';
  if (input.outcome !== 'completed') return input.outcomeReason ?? 'The run broke off before its end.';
  const { ends, expectedEnds } = input;
  if (ends === undefined || expectedEnds === undefined || ends.closedMm === null || ends.openMm === null) return null;
  const shiftMm = (ends.closedMm - expectedEnds.closedMm + (ends.openMm - expectedEnds.openMm)) / 2;
  if (Math.abs(shiftMm) <= expectedEnds.shiftLimitMm) return null;
  return `The fader sits ${Math.abs(shiftMm).toFixed(2)} mm too far to the ${shiftMm > 0 ? 'open' : 'closed'} end: clamp it anew against its stop.`;
}

function summarise(
  points: readonly JudgedPoint[],
  checks: readonly JudgedCheck[],
  voidReason: string | null,
): FaderVerdict {
  const verdict = worstZone([...points, ...checks].map((part) => part.zone));
  const worst = worstPoint(points);
  return {
    verdict,
    reason: voidReason ?? reasonOf(verdict, points, checks),
    nextStep: nextSteps[verdict],
    points,
    checks,
    worstPointIndex: worst?.pointIndex ?? null,
    worstDeviationDb: worst?.deviationDb ?? null,
  };
}

/** The point whose deviation is largest relative to its limit; null when nothing was measured. */
export function worstPoint(points: readonly JudgedPoint[]): JudgedPoint | null {
  let worst: JudgedPoint | null = null;
  let worstShare = Number.NEGATIVE_INFINITY;
  for (const point of points) {
    if (point.deviationDb === null) continue;
    const share = shareOfLimit(point.deviationDb, point.lowerDb, point.upperDb);
    if (share > worstShare) {
      worst = point;
      worstShare = share;
    }
  }
  return worst;
}

/** The worst part that bears the word, and how many others do. */
function reasonOf(verdict: Zone, points: readonly JudgedPoint[], checks: readonly JudgedCheck[]): string {
  if (verdict === 'pass')
    return `All ${points.length} points and ${checks.length} checks lie inside their limits, U included.`;
  const guilty = points.filter((point) => point.zone === verdict);
  const first = (worstPoint(guilty) ?? guilty[0])?.reason ?? null;
  const guiltyChecks = checks.filter((check) => check.zone === verdict);
  const lead = first ?? guiltyChecks[0]?.reason ?? 'Nothing could be judged.';
  const others = othersInWords(guilty.length, guiltyChecks.length, first !== null);
  return `${lead.replace(/\.$/, '')}${others === '' ? '' : `; ${others}`}.`;
}

/** What bears the same word besides the one that is told. */
function othersInWords(points: number, checks: number, isPointTold: boolean): string {
  const counted = (count: number, word: string): string => `${count} ${word}${count === 1 ? '' : 's'}`;
  if (!isPointTold) return checks > 1 ? counted(checks - 1, 'more check') : '';
  if (points === 1) return checks === 0 ? '' : `also ${counted(checks, 'check')}`;
  const more = counted(points - 1, 'more point');
  return checks === 0 ? more : `${more} and ${counted(checks, 'check')}`;
}

/** Without any calibration no number of the rig means anything. */
function allVoid(law: Law, reason: string): FaderVerdict {
  const points = law.points.map((point, pointIndex): JudgedPoint => {
    const band = bandOfPoint(law, pointIndex);
    return {
      pointIndex,
      travelMm: point.travelMm,
      lawDb: band.lossDb,
      lowerDb: band.lowerDb,
      upperDb: band.upperDb,
      upDeviationDb: null,
      downDeviationDb: null,
      deviationDb: null,
      uncertaintyDb: null,
      playMm: null,
      zone: 'void',
      reason,
    };
  });
  return summarise(points, [], reason);
}
