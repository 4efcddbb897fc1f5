/** Pieces on their way through trimming, made up for the window's tests and pictures; never proof of anything. */
import type { Cut, GainStep, TrimBatch, TrimPass, TrimPiece } from '../../../src/contract/trim.ts';
import { exampleLaws } from '../../../src/law/examples.ts';
import type { LawData } from '../../../src/law/law.ts';

const found = exampleLaws().find(({ id }) => id === 'PF-104');
if (found === undefined) throw new Error('The example law PF-104 is missing.');
export const law: LawData = found;

export const rules = {
  widthMm: 4,
  swathMm: 1.5,
  endMarginMm: 1,
  closedEdgeMm: 0.8,
  openEdgeMm: 102.9,
  depthStepMm: 0.02,
  placeSdMm: 0.2,
  mostGrowth: 0.5,
};

/** A raw track's deviations, dB, one a law point. */
export const rawDeviationsDb = [
  -1.9, -2.2, -2.4, -2.1, -1.8, -1.6, -1.9, -2.3, -2.1, -1.4, -0.9, -0.7, -0.82, -0.95, -0.78, -0.6, -0.51, -0.42, -0.3,
  -0.18, -0.06,
];

const bounds = [rules.closedEdgeMm, ...law.points.map(({ travelMm }) => travelMm), rules.openEdgeMm];
const ratioOf = (index: number, deviationDb: number): number =>
  10 ** (-((law.points[index]?.lossDb ?? 0) + deviationDb) / 20);

export const cells = bounds.slice(1).map((toMm, index) => {
  const ratios = [0, ...rawDeviationsDb.map((deviation, point) => ratioOf(point, deviation)), 1];
  return {
    index,
    fromMm: bounds[index] ?? 0,
    toMm,
    ohm: 8_540 * ((ratios[index + 1] ?? 1) - (ratios[index] ?? 0)),
    uOhm: 1.2,
  };
});

const depthsMm = [0.34, 0.42, 0.52, 0.6, 0.28, 0.2, 0.46, 0.7, 0.54, 0.36];
const places = [3, 5, 8, 9, 10, 12, 13, 14, 16, 18];

/** Ten cuts, the third a plunge. */
export const cuts: readonly Cut[] = places.map((cellIndex, at) => {
  const cell = cells[cellIndex];
  if (cell === undefined) throw new RangeError('no such cell');
  const rest = {
    number: at + 1,
    cellIndex,
    side: at % 3 === 1 ? ('right' as const) : ('left' as const),
    depthMm: depthsMm[at] ?? 0.3,
  };
  const middle = (cell.fromMm + cell.toMm) / 2;
  const half = (cell.toMm - cell.fromMm) * (at % 2 === 0 ? 0.32 : 0.4);
  return at === 2
    ? { ...rest, kind: 'plunge', atMm: middle }
    : { ...rest, kind: 'shave', fromMm: middle - half, toMm: middle + half };
});

export const plan = {
  cuts: [...cuts],
  addedOhm: cells.map(({ ohm }) => ohm * 0.08),
  share: 0.68,
  points: law.points.map(({ travelMm }, pointIndex) => {
    const before = rawDeviationsDb[pointIndex] ?? 0;
    return {
      pointIndex,
      travelMm,
      deviationBeforeDb: before,
      deviationAfterDb: before * 0.3,
      sdAfterDb: 0.04 + Math.abs(before) * 0.08,
    };
  }),
  totalAfterOhm: 9_120,
  margin: 0.62,
  removalMm2: 9.4,
  passesExpected: 2,
  overCutRisk: 0.0012,
};

const belief = { mean: 1, sd: 0.15, cutSd: 0.1, cuts: 0 };
const learnt = { mean: 0.93, sd: 0.04, cutSd: 0.1, cuts: 10 };

export const firstRun = '7d0c6a52-3f0a-4a6e-9a57-5b1f5a2a9b11';
export const secondRun = '7d0c6a52-3f0a-4a6e-9a57-5b1f5a2a9b12';

export const planned: TrimPiece = {
  serial: 'PF104-26-48-00017',
  batch: 'TFW-26-48',
  lawId: 'PF-104',
  lawRevision: 1,
  operator: 'KD',
  toolId: 'mill-1',
  toolKind: 'mill',
  state: 'planned',
  mustRemeasure: false,
  sort: 'trimmable',
  firstSort: 'trimmable',
  reasons: [],
  sentence: 'Ten cuts are planned.',
  pass: 0,
  passLimit: 3,
  plan,
  cells: [...cells],
  rules,
  belief,
  passes: [],
  runs: [firstRun],
  startedAt: '2026-11-25T09:12:00.000Z',
  changedAt: '2026-11-25T09:12:31.000Z',
};

const pass = (more: Partial<TrimPass>): TrimPass => ({
  pass: 1,
  toolId: 'mill-1',
  toolKind: 'mill',
  runBefore: firstRun,
  runAfter: null,
  plan,
  cutsDone: [],
  askedAt: '2026-11-25T09:13:00.000Z',
  doneAt: null,
  gain: null,
  ...more,
});

/** Cuts asked for, the first `made` of them made. */
export const cutting = (made: number): TrimPiece => ({
  ...planned,
  state: 'cutsAsked',
  mustRemeasure: true,
  pass: 1,
  passes: [pass({ cutsDone: cuts.slice(0, made).map(({ number }) => number) })],
});

export const unmeasured: TrimPiece = { ...cutting(cuts.length), state: 'cutsDone' };

const finished = pass({
  cutsDone: cuts.map(({ number }) => number),
  runAfter: secondRun,
  doneAt: '2026-11-25T09:16:40.000Z',
  gain: { achieved: 0.92, before: belief, after: learnt },
});

export const accepted: TrimPiece = {
  ...planned,
  state: 'accepted',
  sort: 'conforms',
  sentence: 'It follows its law.',
  pass: 1,
  plan: null,
  belief: learnt,
  passes: [finished],
  runs: [firstRun, secondRun],
};

/** Measured after its first pass, and cut again. */
export const secondPass: TrimPiece = {
  ...planned,
  pass: 1,
  plan: {
    ...plan,
    cuts: cuts.slice(2, 6).map((cut) => ({ ...cut, number: cut.number + 10, side: 'right', depthMm: 0.12 })),
    share: 0.92,
    passesExpected: 1,
  },
  belief: learnt,
  passes: [finished],
  runs: [firstRun, secondRun],
};

export const conforms: TrimPiece = {
  ...planned,
  state: 'accepted',
  sort: 'conforms',
  firstSort: 'conforms',
  plan: null,
};

export const hopeless: TrimPiece = {
  ...planned,
  state: 'hopeless',
  sort: 'hopeless',
  firstSort: 'hopeless',
  plan: null,
  reasons: [
    {
      code: 'cellTooResistive',
      cellIndex: 12,
      pointIndex: 12,
      sentence:
        'The track between 54 and 60 mm has 31 % more resistance than any cut elsewhere can make up for: 0.84 dB stay at 60.0 mm.',
    },
    {
      code: 'totalTooHigh',
      cellIndex: null,
      pointIndex: null,
      sentence: 'Bringing all points in needs a track of 13.1 kΩ; 12.0 kΩ is the limit.',
    },
  ],
};

export const ended: TrimPiece = {
  ...accepted,
  state: 'ended',
  sort: 'trimmable',
  pass: 3,
  sentence: 'Three passes are made and one point is still outside: +0.61 dB at 48.0 mm, limit +1.00 dB less U.',
};

const gains: GainStep[] = [0.88, 0.97, 0.91, 0.95, 0.9, 0.93, 0.96, 0.92, 0.94, 0.93, 0.95, 0.91].map(
  (achieved, index, all) => {
    const seen = all.slice(0, index + 1);
    const mean = (1 + seen.reduce((sum, value) => sum + value, 0) * 3) / (1 + seen.length * 3);
    return {
      pass: index + 1,
      serial: `PF104-26-48-${String(index + 1).padStart(5, '0')}`,
      at: `2026-11-25T0${Math.min(9, 7 + Math.floor(index / 4))}:10:00.000Z`,
      toolId: 'mill-1',
      achieved,
      mean,
      sd: 0.15 / Math.sqrt(1 + (index + 1) * 3),
    };
  },
);

export const trimBatch: TrimBatch = {
  batch: 'TFW-26-48',
  pieces: [
    {
      serial: 'PF104-26-48-00017',
      state: 'planned',
      firstSort: 'trimmable',
      passes: 0,
      worstBeforeDb: -2.4,
      worstAfterDb: -2.4,
      cuts: 0,
      removalMm2: 0,
      tookMs: null,
    },
  ],
  done: 16,
  sorts: { conforms: 1, trimmable: 14, hopeless: 1 },
  ends: { accepted: 14, ended: 1, hopeless: 1, open: 1 },
  passes: [
    { passes: 1, pieces: 4 },
    { passes: 2, pieces: 8 },
    { passes: 3, pieces: 1 },
  ],
  firstPassShare: 4 / 13,
  gains,
  medianTookMs: 372_000,
};
