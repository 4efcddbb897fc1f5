/** Laws out of test/reference as laws of ours: published levels become losses below the open end. */
import { buildLaw, type Law } from '../../src/law/build.ts';
import type { LawData } from '../../src/law/law.ts';
import file from '../reference/electrical-published-laws.json' with { type: 'json' };

export interface PublishedLaw {
  readonly law: Law;
  readonly source: string;
  /** Level printed at the open end, dB. */
  readonly topLevelDb: number;
  /** Travel in % by printed level, where the source tabulates it. */
  readonly tabulatedPercent: Readonly<Record<string, number>>;
}

export function publishedLaw(id: string): PublishedLaw {
  const found = file.laws.find((law) => law.id === id);
  if (found === undefined) throw new Error(`test/reference has no published law ${id}`);
  const points = found.points.map(([travelMm, levelDb]) => {
    if (travelMm === undefined || levelDb === undefined) throw new Error(`law ${id}: incomplete point`);
    return { travelMm, lossDb: found.topLevelDb - levelDb, minusDb: 1, plusDb: 1 };
  });
  const law = buildLaw({
    ...plainLaw(),
    id,
    title: found.title,
    travelMm: found.travelMm,
    points,
    closedMinLossDb: 220,
    openMaxLossDb: 0,
  });
  return { law, source: found.source, topLevelDb: found.topLevelDb, tabulatedPercent: found.tabulatedPercent ?? {} };
}

/** A small valid law to be bent by a test. */
export function plainLaw(): LawData {
  return {
    id: 'TEST-60',
    revision: 1,
    title: 'Law of a test',
    travelMm: 60,
    points: [
      { travelMm: 6, lossDb: 60, minusDb: 3, plusDb: null },
      { travelMm: 20, lossDb: 40, minusDb: 2, plusDb: 2 },
      { travelMm: 40, lossDb: 10, minusDb: 1, plusDb: 0.5, travelTolMm: 0.2 },
      { travelMm: 58, lossDb: 0, minusDb: 0.5, plusDb: 0.5 },
    ],
    closedMinLossDb: 65,
    openMaxLossDb: 0.5,
    resistance: { nominalOhm: 10_000, toleranceFraction: 0.2 },
    loadOhm: null,
    interpolation: 'dbLinear',
    marks: [
      { travelMm: 0, text: 'off' },
      { travelMm: 40, text: '0' },
    ],
    limits: {},
  };
}
