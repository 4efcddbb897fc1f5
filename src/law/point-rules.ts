import type { LawInterpolation } from './law.ts';
import type { LawProblem } from './problems.ts';

/**
 * A point as far as it could be read: NaN where a number is missing or unreadable. Every rule below is
 * written so that NaN never triggers it, because that gap was reported already.
 */
export interface ReadPoint {
  readonly travelMm: number;
  readonly lossDb: number;
  readonly minusDb: number;
  readonly plusDb: number | null;
  readonly travelTolMm: number | undefined;
}

/** Greatest loss a law may state, dB. */
export const MAX_LOSS_DB = 250;
/** Greatest tolerance, dB: wider means the wrong column or unit. */
export const MAX_TOLERANCE_DB = 40;
/** Points closer than this cannot be told apart by a carriage, mm. */
export const MIN_SPACING_MM = 0.005;
/** Greatest travel tolerance as a share of the nominal travel. */
export const MAX_TRAVEL_TOL_SHARE = 0.1;

/** How a point is named to the user. `row` is 1-based. */
export function pointName(row: number, travelMm: number): string {
  return Number.isFinite(travelMm) ? `Point ${row} (travel ${travelMm} mm)` : `Point ${row}`;
}

/**
 * Everything wrong with the points of a law.
 *
 * @param travelMm nominal travel of the law, NaN when not known (a points file alone)
 */
export function pointProblems(
  points: readonly ReadPoint[],
  travelMm: number,
  interpolation: LawInterpolation,
): LawProblem[] {
  const problems: LawProblem[] = [];
  points.forEach((point, index) => {
    const say = (field: keyof ReadPoint, what: string) =>
      problems.push({
        row: index + 1,
        field: `points.${field}`,
        message: `${pointName(index + 1, point.travelMm)}: ${what}`,
        path: ['points', index, field],
      });
    checkPlace(point, travelMm, say);
    checkTolerances(point, travelMm, say);
    checkOrder(points, index, interpolation, say);
  });
  if (points.length < 2) {
    problems.push({
      row: null,
      field: 'points',
      message: `A law needs at least 2 points, this one has ${points.length}. Add the missing points.`,
      path: ['points'],
    });
  } else {
    const first = points[0]?.lossDb ?? Number.NaN;
    const last = points.at(-1)?.lossDb ?? Number.NaN;
    if (first === last && points.every((p) => p.lossDb === first)) {
      problems.push({
        row: null,
        field: 'points',
        message: `Every point asks for the same loss (${first} dB): nothing would be faded. Check the loss column.`,
        path: ['points'],
      });
    }
  }
  return problems;
}

type Say = (field: keyof ReadPoint, what: string) => void;

function checkPlace(point: ReadPoint, travelMm: number, say: Say): void {
  if (point.travelMm < 0) {
    say('travelMm', 'travel is below 0. Travel counts from the closed end; give a value from 0 upward.');
  }
  if (point.travelMm > travelMm) {
    say('travelMm', `travel lies beyond the nominal travel of ${travelMm} mm. Correct the point or the travel.`);
  }
  if (point.lossDb < 0) {
    say('lossDb', `loss ${point.lossDb} dB is negative. Loss is positive and counts down from the full level.`);
  }
  if (point.lossDb > MAX_LOSS_DB) {
    say('lossDb', `loss ${point.lossDb} dB is above ${MAX_LOSS_DB} dB, which nothing can measure. Correct it.`);
  }
}

function checkTolerances(point: ReadPoint, travelMm: number, say: Say): void {
  for (const field of ['minusDb', 'plusDb'] as const) {
    const toleranceDb = point[field];
    if (toleranceDb === null) continue;
    if (toleranceDb <= 0) {
      say(field, `tolerance ${toleranceDb} dB leaves no room. Give a tolerance above 0, without a sign.`);
    } else if (toleranceDb > MAX_TOLERANCE_DB) {
      say(
        field,
        `tolerance ${toleranceDb} dB is above ${MAX_TOLERANCE_DB} dB. Correct it${
          field === 'plusDb' ? ', or leave the point one-sided if any greater loss is allowed' : ''
        }.`,
      );
    }
  }
  const { travelTolMm } = point;
  if (travelTolMm === undefined) return;
  if (travelTolMm < 0) say('travelTolMm', `travel tolerance ${travelTolMm} mm is negative. Give it without a sign.`);
  if (travelTolMm > travelMm * MAX_TRAVEL_TOL_SHARE) {
    say(
      'travelTolMm',
      `travel tolerance ${travelTolMm} mm is above a tenth of the ${travelMm} mm travel. Correct it; it is in mm.`,
    );
  }
}

function checkOrder(points: readonly ReadPoint[], index: number, interpolation: LawInterpolation, say: Say): void {
  const point = points[index];
  const before = points.slice(0, index).findLast((p) => Number.isFinite(p.travelMm));
  if (point === undefined) return;
  if (before !== undefined) {
    const riseMm = point.travelMm - before.travelMm;
    if (riseMm === 0) {
      say('travelMm', 'the same travel stands in the point before. Remove one of the two.');
    } else if (riseMm < 0) {
      say('travelMm', `travel goes back after ${before.travelMm} mm. Order the points from the closed end upward.`);
    } else if (riseMm < MIN_SPACING_MM) {
      say('travelMm', `only ${riseMm.toFixed(4)} mm from the point before. Keep at least ${MIN_SPACING_MM} mm.`);
    }
  }
  const quieter = points.slice(0, index).findLast((p) => Number.isFinite(p.lossDb));
  if (quieter !== undefined && point.lossDb > quieter.lossDb) {
    say(
      'lossDb',
      `loss rises from ${quieter.lossDb} to ${point.lossDb} dB as the fader opens. It must never rise with travel.`,
    );
  }
  if (interpolation === 'stepped' && quieter !== undefined && point.lossDb === quieter.lossDb) {
    say('lossDb', `the contact has the same loss (${point.lossDb} dB) as the one before. Every contact is a step.`);
  }
  const next = index > 0 ? points[index - 1] : undefined;
  if (point.plusDb === null && next !== undefined && next.plusDb !== null && Number.isFinite(next.plusDb)) {
    say(
      'plusDb',
      'the point is one-sided although a point nearer the closed end has an upper limit. ' +
        'One-sided points stand together at the closed end; give this one a plus tolerance.',
    );
  }
}
