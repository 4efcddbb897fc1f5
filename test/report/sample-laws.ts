/** Laws for the report tests, in the project's own numbers: a programme fader and a small stepped one. */
import type { LawData } from '../../src/law/law.ts';

// The printed scale, mm from the closed end; loss = 10 dB minus the mark.
const scale: readonly (readonly [string, number])[] = [
  ['+10', 102],
  ['+5', 90],
  ['0', 78],
  ['−5', 66],
  ['−10', 54],
  ['−20', 42],
  ['−30', 30],
  ['−40', 18],
  ['−50', 12],
  ['−60', 6],
];

const lossOnScale = (travelMm: number): number => {
  const marks = scale.map(([text, at]) => ({ at, lossDb: 10 - Number(text.replace('−', '-')) }));
  for (const [index, high] of marks.entries()) {
    const low = marks[index + 1];
    if (low === undefined) break;
    if (travelMm <= high.at && travelMm >= low.at) {
      return low.lossDb + ((high.lossDb - low.lossDb) * (travelMm - low.at)) / (high.at - low.at);
    }
  }
  throw new RangeError(`no loss at ${travelMm} mm`);
};

const toleranceDb = (lossDb: number): number => (lossDb <= 20 ? 0.5 : lossDb <= 30 ? 1 : lossDb <= 50 ? 2 : 3);

/** 21 points from 6 to 102 mm; the lowest is open towards more loss. */
export const programmeFader: LawData = {
  id: 'PF-104',
  revision: 3,
  title: 'Programme fader, 104 mm, +10 to closed',
  travelMm: 104,
  points: Array.from({ length: 21 }, (_, index) => {
    const travelMm = Math.round((6 + index * 4.8) * 10) / 10;
    const lossDb = Math.round(lossOnScale(travelMm) * 1000) / 1000;
    const plusDb = index === 0 ? null : toleranceDb(lossDb);
    return { travelMm, lossDb, minusDb: toleranceDb(lossDb), plusDb, travelTolMm: 0.1 };
  }),
  closedMinLossDb: 85,
  openMaxLossDb: 0.2,
  resistance: { nominalOhm: 10_000, toleranceFraction: 0.2 },
  loadOhm: null,
  interpolation: 'dbLinear',
  marks: [...scale.map(([text, travelMm]) => ({ travelMm, text })), { travelMm: 0, text: '∞' }],
  limits: { maxPlayMm: 0.15 },
};

/** 27 contacts of 1.5 dB, 2 mm apart. */
export const steppedFader: LawData = {
  id: 'QS-54',
  revision: 1,
  title: 'Stepped quadrant fader',
  travelMm: 56,
  points: Array.from({ length: 27 }, (_, index) => ({
    travelMm: 2 + index * 2,
    lossDb: (26 - index) * 1.5,
    minusDb: 0.3,
    plusDb: index < 3 ? null : 0.3,
  })),
  closedMinLossDb: 60,
  openMaxLossDb: 0.1,
  resistance: { nominalOhm: 600, toleranceFraction: 0.05 },
  loadOhm: 10_000,
  interpolation: 'stepped',
  marks: [
    { travelMm: 54, text: '0' },
    { travelMm: 34, text: '15' },
    { travelMm: 14, text: '30' },
  ],
  limits: {},
};
