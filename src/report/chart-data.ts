/**
 * What the charts of a report are drawn from, as plain data. Deviations and losses are the recorded ones
 * (rounded to 0.0001 dB); a gap is null. Axis ranges come from the law and its band, never from an outlier.
 */
import type { VerdictWord } from '../archive/records.ts';
import { bandAt } from '../law/band.ts';
import type { LawData, LawMark } from '../law/law.ts';
import type { Batch, BatchFader } from './batch-faders.ts';
import { pointStatistics } from './point-statistics.ts';
import { markText } from './point-words.ts';

export interface FaderCurve {
  readonly serial: string;
  readonly verdict: VerdictWord;
  /** One entry per law point, null where it was not measured. */
  readonly deviationDb: readonly (number | null)[];
  /** One letter per law point: the first of its zone's word, `-` where the point is missing. */
  readonly zones: string;
}

/** The law and its band on a fine grid of travel; `upperDb` null = open towards more loss. */
export interface BandSample {
  readonly travelMm: number;
  readonly lossDb: number;
  readonly lowerDb: number;
  readonly upperDb: number | null;
}

export interface ResistanceDot {
  readonly serial: string;
  readonly verdict: VerdictWord;
  readonly ohm: number;
  /** Height in the heap of faders of nearly the same resistance, 0 = lowest. */
  readonly level: number;
}

export interface ChartData {
  readonly travelMm: number;
  readonly stepped: boolean;
  readonly marks: readonly LawMark[];
  readonly band: readonly BandSample[];
  readonly curves: readonly FaderCurve[];
  /** Smallest and largest loss drawn, dB; a little below 0, where noise may put an open fader. */
  readonly lossMinDb: number;
  readonly lossMaxDb: number;
  /** Deviation drawn from -range to +range, dB. */
  readonly deviationRangeDb: number;
  /** Readings beyond those ranges: marked at the edge. */
  readonly lossOutside: number;
  readonly deviationOutside: number;
  readonly points: readonly {
    readonly travelMm: number;
    /** Loss of the law; loss of a fader = this + its deviation. */
    readonly lawDb: number;
    readonly fail: number;
    readonly doubt: number;
    readonly worst: number;
  }[];
  readonly resistance: {
    readonly nominalOhm: number;
    readonly lowerOhm: number;
    readonly upperOhm: number;
    readonly fromOhm: number;
    readonly toOhm: number;
    readonly dots: readonly ResistanceDot[];
    readonly missing: number;
    readonly outside: number;
  };
}

const gridSteps = 416;
/** Dots of the resistance strip that fall in the same of so many bins are heaped. */
const heapBins = 110;

const lossMinDb = -2;

const rounded = (value: number): number => Math.round(value * 1e4) / 1e4;

const bandSamples = (law: LawData): readonly BandSample[] => {
  const [first, last] = [law.points[0]?.travelMm ?? 0, law.points.at(-1)?.travelMm ?? 0];
  const travels = new Set(law.points.map((point) => point.travelMm));
  for (let step = 1; step < gridSteps; step += 1) travels.add(first + ((last - first) * step) / gridSteps);
  return [...travels]
    .sort((a, b) => a - b)
    .flatMap((travelMm) => {
      const band = bandAt(law, travelMm);
      if (band === null) return [];
      return [
        {
          travelMm: rounded(travelMm),
          lossDb: rounded(band.lossDb),
          lowerDb: rounded(band.lowerDb),
          upperDb: band.upperDb === null ? null : rounded(band.upperDb),
        },
      ];
    });
};

const curveOf = ({ serial, run }: BatchFader, law: LawData): FaderCurve => {
  const byIndex = new Map(run.points.map((point) => [point.pointIndex, point]));
  const points = law.points.map((_, index) => byIndex.get(index));
  const deviationDb = points.map((point) =>
    point === undefined || point.deviationDb === null ? null : rounded(point.deviationDb),
  );
  return {
    serial,
    verdict: run.verdict,
    deviationDb,
    zones: points.map((point) => point?.zone.slice(0, 1) ?? '-').join(''),
  };
};

const lossesOf = (curve: FaderCurve, law: LawData): readonly (number | null)[] =>
  curve.deviationDb.map((deviation, index) => {
    const lawPoint = law.points[index];
    return deviation === null || lawPoint === undefined ? null : lawPoint.lossDb + deviation;
  });

const countBeyond = (rows: readonly (readonly (number | null)[])[], beyond: (value: number) => boolean): number =>
  rows.reduce((sum, row) => sum + row.filter((value) => value !== null && beyond(value)).length, 0);

const resistanceOf = (faders: readonly BatchFader[], law: LawData): ChartData['resistance'] => {
  const { nominalOhm, toleranceFraction } = law.resistance;
  const lowerOhm = nominalOhm * (1 - toleranceFraction);
  const upperOhm = nominalOhm * (1 + toleranceFraction);
  const marginOhm = Math.max(nominalOhm * toleranceFraction * 0.35, nominalOhm * 0.01);
  const [fromOhm, toOhm] = [Math.max(0, lowerOhm - marginOhm), upperOhm + marginOhm];
  const heap = new Map<number, number>();
  const dots: ResistanceDot[] = [];
  let outside = 0;
  for (const { serial, run } of faders) {
    const value = run.checks.find((check) => check.name === 'totalResistance')?.value ?? null;
    if (value === null) continue;
    if (value < fromOhm || value > toOhm) outside += 1;
    const shown = Math.min(toOhm, Math.max(fromOhm, value));
    const bin = Math.round(((shown - fromOhm) / (toOhm - fromOhm)) * heapBins);
    const level = heap.get(bin) ?? 0;
    heap.set(bin, level + 1);
    dots.push({ serial, verdict: run.verdict, ohm: Math.round(value * 10) / 10, level });
  }
  return { nominalOhm, lowerOhm, upperOhm, fromOhm, toOhm, dots, missing: faders.length - dots.length, outside };
};

export function chartData(batch: Batch, law: LawData): ChartData {
  const band = bandSamples(law);
  const curves = batch.faders.map((fader) => curveOf(fader, law));
  // Where the band is open to one side it says little about what may be seen there: it does not set the scale.
  const closedBand = band.filter(({ upperDb }) => upperDb !== null);
  const widestDb = (closedBand.length === 0 ? band : closedBand).reduce(
    (most, { lowerDb, upperDb }) => Math.max(most, -lowerDb, upperDb ?? 0),
    0,
  );
  const deviationRangeDb = Math.max(0.5, Math.ceil(widestDb * 1.2 * 2) / 2);
  const quietestDb = band.reduce((most, { lossDb, upperDb }) => Math.max(most, lossDb + (upperDb ?? 0)), 0);
  const lossMaxDb = Math.ceil((quietestDb + 4) / 10) * 10;
  return {
    travelMm: law.travelMm,
    stepped: law.interpolation === 'stepped',
    marks: law.marks.map(({ travelMm, text }) => ({ travelMm, text: markText(text) })),
    band,
    curves,
    lossMinDb,
    lossMaxDb,
    deviationRangeDb,
    lossOutside: countBeyond(
      curves.map((curve) => lossesOf(curve, law)),
      (value) => value > lossMaxDb || value < lossMinDb,
    ),
    deviationOutside: countBeyond(
      curves.map((curve) => curve.deviationDb),
      (value) => Math.abs(value) > deviationRangeDb,
    ),
    points: pointStatistics(batch.faders, law).map(({ travelMm, lawDb, zones, worst }) => ({
      travelMm,
      lawDb,
      fail: zones.fail,
      doubt: zones.doubt,
      worst,
    })),
    resistance: resistanceOf(batch.faders, law),
  };
}
