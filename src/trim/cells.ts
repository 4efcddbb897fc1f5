/** Cells of a track from a measured run: R_i = (y_i - y_{i-1}) Rp, the wiper's ratios being those of a divider. */
import type { Law } from '../law/build.ts';
import { DB_PER_RELATIVE, ratioFromLoss } from '../law/decibel.ts';
import { unloadedRatio } from '../law/load.ts';
import type { CuttingRules, HopelessReason, TrackCell, TrackProfile, TrackTap } from './trim.ts';

/** One law point as measured, mean of both directions. Null = gap. */
export interface MeasuredTap {
  readonly pointIndex: number;
  readonly travelMm: number;
  /** Loss as the law states it (under the law's load), dB. */
  readonly lossDb: number | null;
  /** Expanded uncertainty, k = 2, dB. */
  readonly uncertaintyDb: number | null;
}

/** A value and its expanded uncertainty, k = 2. Null = gap. */
export interface MeasuredValue {
  readonly value: number | null;
  readonly uncertainty: number | null;
}

/** Where the film begins and ends, mm from the closed stop. */
export type FilmEnds = Pick<CuttingRules, 'closedEdgeMm' | 'openEdgeMm'>;

export type ProfileFinding =
  | { readonly profile: TrackProfile; readonly reasons: readonly [] }
  /** Something needed was not measured; nothing can be planned. */
  | { readonly profile: null; readonly reasons: readonly HopelessReason[] };

/**
 * The track as cells between law points. The two end cells hold the film up to the conductors, the end contacts and the
 * common lead. A cell may come out at or below zero where the ratio does not rise; it stays as measured.
 *
 * Standard uncertainty of a cell: u^2 = Rp^2 (u_i^2 + u_{i-1}^2) + (dy u_Rp)^2, taps taken as independent. What they share
 * (zero, scale) cancels in the difference, so this errs on the wide side.
 *
 * @param stops ratios on the stops at the unfavourable end of their U; absent = not known, then they limit no plan
 */
export function profileFrom(
  points: readonly MeasuredTap[],
  total: MeasuredValue,
  law: Law,
  ends: FilmEnds,
  stops: { readonly closedRatio?: number; readonly openRatio?: number } = {},
): ProfileFinding {
  const reasons: HopelessReason[] = [];
  const gap = (pointIndex: number | null, sentence: string) =>
    reasons.push({ code: 'notMeasured', cellIndex: null, pointIndex, sentence });
  const totalOhm = total.value;
  const totalU = total.uncertainty;
  if (!isPositive(totalOhm) || !isKnown(totalU)) {
    gap(null, 'The total resistance was not measured, so no cell has a value. Measure the piece again.');
    return { profile: null, reasons };
  }
  const taps: TrackTap[] = [];
  law.points.forEach((point, pointIndex) => {
    const measured = points.find((one) => one.pointIndex === pointIndex);
    const lossDb = measured?.lossDb ?? null;
    const uncertaintyDb = measured?.uncertaintyDb ?? null;
    if (lossDb === null || !Number.isFinite(lossDb) || !isKnown(uncertaintyDb)) {
      gap(
        pointIndex,
        `The point at ${point.travelMm} mm was not measured. Clean the track and measure the piece again.`,
      );
      return;
    }
    const loaded = ratioFromLoss(lossDb);
    const ratio = law.loadOhm === null ? loaded : unloadedRatio(loaded, law.loadOhm / totalOhm);
    taps.push({
      pointIndex,
      travelMm: point.travelMm,
      ratio,
      uRatio: (ratio * uncertaintyDb) / 2 / DB_PER_RELATIVE,
    });
  });
  if (reasons.length > 0) return { profile: null, reasons };
  return { profile: { ...profileOfTaps(taps, totalOhm, totalU / 2, ends), ...stops }, reasons: [] };
}

/** Cells between given taps. `uTotalOhm` is standard. */
export function profileOfTaps(
  taps: readonly TrackTap[],
  totalOhm: number,
  uTotalOhm: number,
  ends: FilmEnds,
): TrackProfile {
  const closed = { travelMm: ends.closedEdgeMm, ratio: 0, uRatio: 0 };
  const open = { travelMm: ends.openEdgeMm, ratio: 1, uRatio: 0 };
  const nodes = [closed, ...taps, open];
  const cells = nodes.slice(1).map((to, index): TrackCell => {
    const from = nodes[index] ?? closed;
    const share = to.ratio - from.ratio;
    return {
      index,
      fromMm: from.travelMm,
      toMm: to.travelMm,
      ohm: share * totalOhm,
      uOhm: Math.hypot(totalOhm * Math.hypot(from.uRatio, to.uRatio), share * uTotalOhm),
    };
  });
  return { cells, taps, totalOhm, uTotalOhm };
}

/** What is needed of an archived run; `RunRecord` has this shape. */
export interface ProfiledRun {
  readonly points: readonly {
    readonly pointIndex: number;
    readonly travelMm: number;
    readonly lawDb: number;
    readonly deviationDb: number | null;
    readonly uncertaintyDb: number | null;
  }[];
  readonly checks: readonly {
    readonly name: string;
    readonly value: number | null;
    readonly uncertainty: number | null;
  }[];
}

/** Cells from a run as the archive keeps it. */
export function profileOfRun(run: ProfiledRun, law: Law, ends: FilmEnds): ProfileFinding {
  const total = run.checks.find((check) => check.name === 'totalResistance');
  const points = run.points.map(({ pointIndex, travelMm, lawDb, deviationDb, uncertaintyDb }) => ({
    pointIndex,
    travelMm,
    lossDb: deviationDb === null ? null : lawDb + deviationDb,
    uncertaintyDb,
  }));
  const stop = (name: string, towards: 1 | -1): number | null => {
    const check = run.checks.find((one) => one.name === name);
    if (check === undefined || check.value === null || check.uncertainty === null) return null;
    return ratioFromLoss(check.value + towards * check.uncertainty);
  };
  const closedRatio = stop('closedLoss', -1);
  const openRatio = stop('openLoss', 1);
  const stops = {
    ...(closedRatio === null ? {} : { closedRatio }),
    ...(openRatio === null ? {} : { openRatio }),
  };
  return profileFrom(points, total ?? { value: null, uncertainty: null }, law, ends, stops);
}

function isPositive(value: number | null): value is number {
  return value !== null && Number.isFinite(value) && value > 0;
}

function isKnown(value: number | null): value is number {
  return value !== null && Number.isFinite(value) && value >= 0;
}
