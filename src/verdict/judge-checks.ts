/** Closed loss, open loss, total resistance and play against the law's limits. */
import { DB_PER_RELATIVE, lossFromRatio, ratioFromLoss } from '../law/decibel.ts';
import { loadedRatio } from '../law/load.ts';
import { applyReading, totalResistanceOhm } from '../trust/apply.ts';
import { contactPlaceMm } from '../trust/assumptions.ts';
import { isUnsteady, meanNoiseCounts, pooledNoiseCounts } from '../trust/noise.ts';
import { chordSlope, type MeasuredPlace, playFromDirections, slideSpread } from '../trust/slope.ts';
import { endRatioBudget, playBudget, totalResistanceBudget } from '../trust/uncertainty-checks.ts';
import type { PointFinding } from './judge-point.ts';
import { latest, type MeasuringContext, noiseDb } from './measured-points.ts';
import type { JudgedCheck } from './readings.ts';
import { checkSentence } from './sentences.ts';
import { type Zone, zoneOf } from './zones.ts';

type Measured = Pick<JudgedCheck, 'value' | 'uncertainty'> & { readonly zone?: Zone; readonly problem: string | null };

const missing = (problem: string): Measured => ({ value: null, uncertainty: null, problem });

/**
 * Verdict on one quantity with limits. Missing or not finite = void.
 *
 * @param measured value and U; a `zone` given with it was decided in another unit
 */
export function judgeCheck(
  what: Pick<JudgedCheck, 'name' | 'unit' | 'lower' | 'upper'>,
  measured: Measured,
  voidReason: string | null,
): JudgedCheck {
  const { value, uncertainty, problem } = measured;
  const decided = measured.zone ?? zoneOf({ value, lower: what.lower, upper: what.upper, uncertainty });
  const zone = voidReason !== null ? 'void' : decided;
  const check: JudgedCheck = { ...what, value, uncertainty, zone, reason: null };
  if (zone === 'pass') return problem === null ? check : { ...check, reason: problem };
  return {
    ...check,
    reason: problem !== null && zone !== 'void' ? problem : checkSentence(check, voidReason ?? problem),
  };
}

/** Loss on an end stop. Judged as a ratio, where zero and a little below are honest numbers. */
function endLoss(purpose: 'closed' | 'open', context: MeasuringContext): Measured {
  const { law, calibration, limits, trackOhm, readings } = context;
  const reading = latest(readings, (r) => r.purpose === purpose);
  if (reading === undefined) return missing('not measured');
  if (reading.overRange) return missing('the meter was over range');
  const pooled = pooledNoiseCounts(readings, reading.integrationUs);
  const least = 0.005 * Math.abs(reading.wiperCounts);
  if (isUnsteady(reading, pooled, least)) return missing('the contact was unsteady');
  const noiseCounts = meanNoiseCounts(reading, pooled);
  const { ratio: bare } = applyReading(reading, reading.direction, calibration, limits, trackOhm);
  if (bare === null || noiseCounts === null) return missing('no sensible reading');
  const ratio = law.loadOhm === null ? bare : loadedRatio(bare, law.loadOhm / trackOhm);
  const budget = endRatioBudget(
    { ratio, trackCounts: reading.trackCounts, noiseCounts, noiseDegrees: Math.max(1, reading.conversions - 1) },
    calibration,
    limits,
  );
  const limit = ratioFromLoss(purpose === 'closed' ? law.closedMinLossDb : law.openMaxLossDb);
  const zone = zoneOf({
    value: ratio,
    lower: purpose === 'open' ? limit : null,
    upper: purpose === 'closed' ? limit : null,
    uncertainty: budget.expanded,
  });
  const value = lossFromRatio(ratio);
  if (value === null) {
    const leastDb = lossFromRatio(ratio + budget.expanded);
    const known = leastDb === null ? 'no signal beyond the offset' : `at least ${leastDb.toFixed(1)} dB`;
    return { value: null, uncertainty: null, zone, problem: `Below what this meter resolves: ${known}` };
  }
  return { value, uncertainty: (DB_PER_RELATIVE * budget.expanded) / ratio, zone, problem: null };
}

/** Total resistance as a value with its U. */
export function measureTotalResistance(context: Omit<MeasuringContext, 'trackOhm'>): Measured {
  const { calibration, limits, readings } = context;
  const reading = latest(readings, (r) => r.purpose === 'totalResistance');
  if (reading === undefined) return missing('not measured');
  if (reading.overRange) return missing('the meter was over range');
  const totalOhm = totalResistanceOhm(reading.trackCounts, calibration, limits);
  const noise = pooledNoiseCounts(readings, reading.integrationUs);
  if (totalOhm === null) {
    return missing('the track does not answer like a resistor: check clamp contacts and sense leads');
  }
  if (noise === null) return missing('the spread of the readings is not known');
  const noiseCounts = noise / Math.sqrt(reading.conversions);
  const budget = totalResistanceBudget({ totalOhm, noiseCounts }, calibration, limits);
  return { value: totalOhm, uncertainty: budget.expanded, problem: null };
}

/** Play from the difference of both directions. */
export function measurePlay(
  context: MeasuringContext,
  findings: readonly PointFinding[],
  places: readonly MeasuredPlace[],
): Measured {
  const play = playFromDirections(places);
  if (play === null) return missing('no point steep enough to see it');
  const usable = findings.flatMap(({ up }, index) => {
    const slopeDbPerMm = chordSlope(places, index);
    if (up.measured === null || slopeDbPerMm < 0.1) return [];
    return [{ noiseDb: noiseDb(up.measured, context.calibration.meter.gain), slopeDbPerMm }];
  });
  const { playSdMm } = slideSpread(places, play.playMm);
  const budget = playBudget({ places: usable, playMm: play.playMm, playSdMm, contactPlaceMm }, context.calibration);
  return { value: play.playMm, uncertainty: budget.expanded, problem: null };
}

/** All checks of a fader. Play is listed only where the law limits it. */
export function judgeChecks(
  context: MeasuringContext,
  total: Measured,
  findings: readonly PointFinding[],
  places: readonly MeasuredPlace[],
  voidReason: string | null,
): readonly JudgedCheck[] {
  const { law } = context;
  const { nominalOhm, toleranceFraction } = law.resistance;
  const checks = [
    judgeCheck(
      { name: 'closedLoss', unit: 'dB', lower: law.closedMinLossDb, upper: null },
      endLoss('closed', context),
      voidReason,
    ),
    judgeCheck(
      { name: 'openLoss', unit: 'dB', lower: null, upper: law.openMaxLossDb },
      endLoss('open', context),
      voidReason,
    ),
    judgeCheck(
      {
        name: 'totalResistance',
        unit: 'ohm',
        lower: nominalOhm * (1 - toleranceFraction),
        upper: nominalOhm * (1 + toleranceFraction),
      },
      total,
      voidReason,
    ),
  ];
  const { maxPlayMm } = law.limits;
  if (maxPlayMm === undefined) return checks;
  const play = measurePlay(context, findings, places);
  return [...checks, judgeCheck({ name: 'play', unit: 'mm', lower: null, upper: maxPlayMm }, play, voidReason)];
}
