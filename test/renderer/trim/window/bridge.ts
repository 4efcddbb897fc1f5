/**
 * A canned core in the middle of trimming, so that screens can be looked at without a rig. `?piece=planned` in the address
 * chooses the piece; `globalThis.tell(event)` sends an event.
 */
import type { PointRecord, RunRecord } from '../../../../src/archive/records.ts';
import { toErrorData } from '../../../../src/contract/errors.ts';
import type { Bridge } from '../../../../src/contract/shell.ts';
import type { NeedleReading, TrimPiece, TrimView } from '../../../../src/contract/trim.ts';
import { bandOfPoint } from '../../../../src/law/band.ts';
import { buildLaw } from '../../../../src/law/build.ts';
import { exampleLaws } from '../../../../src/law/examples.ts';
import { sampleCalibration } from '../../../report/sample-runs.ts';
import {
  accepted,
  conforms,
  cutting,
  ended,
  firstRun,
  hopeless,
  law,
  planned,
  rawDeviationsDb,
  secondPass,
  secondRun,
  trimBatch,
  unmeasured,
} from '../pieces.ts';

const page = globalThis as unknown as { readonly location: { readonly search: string } };
const asked = new URLSearchParams(page.location.search);
const isVirtual = asked.get('virtual') === '1';
const pieces: Readonly<Record<string, TrimPiece>> = {
  planned,
  cutting: cutting(3),
  unmeasured,
  accepted,
  secondPass,
  conforms,
  hopeless,
  ended,
  sorting: { ...planned, state: 'measured', sort: null, plan: null },
};
let piece: TrimPiece | null = pieces[asked.get('piece') ?? ''] ?? null;
const listeners = new Set<(event: unknown) => void>();
const tell = (event: unknown): void => {
  for (const listener of listeners) listener(event);
};

const built = buildLaw(law);
const pointsOf = (share: number): PointRecord[] =>
  law.points.map(({ travelMm, lossDb }, pointIndex) => {
    const deviationDb = (rawDeviationsDb[pointIndex] ?? 0) * share;
    const { lowerDb, upperDb } = bandOfPoint(built, pointIndex);
    return {
      pointIndex,
      travelMm,
      lawDb: lossDb,
      lowerDb,
      upperDb,
      upDeviationDb: deviationDb + 0.02,
      downDeviationDb: deviationDb - 0.02,
      deviationDb,
      uncertaintyDb: 0.03 + lossDb * 0.002,
      playMm: 0.03,
      zone: deviationDb < lowerDb ? 'fail' : 'pass',
      reason: null,
    };
  });

const run = (runId: string, share: number): RunRecord => ({
  runId,
  serial: planned.serial,
  batch: planned.batch,
  job: 'trim',
  operator: 'KD',
  startedAt: '2026-11-25T09:12:00.000Z',
  endedAt: '2026-11-25T09:12:30.000Z',
  outcome: 'completed',
  outcomeReason: null,
  verdict: share > 0.5 ? 'fail' : 'pass',
  verdictReason: 'worst point outside',
  lawId: law.id,
  lawRevision: law.revision,
  calibrationId: 'c1',
  rig: { model: 'bench-1', serial: 'VR0001', firmware: '1.2.0', protocol: 1, isVirtual },
  programVersion: '0.1.0',
  rigLimits: null,
  closedEndMm: 0.8,
  openEndMm: 102.9,
  worstPointIndex: 13,
  worstDeviationDb: -0.95 * share,
  readings: [],
  points: pointsOf(share),
  checks: [
    {
      name: 'totalResistance',
      unit: 'ohm',
      value: share > 0.5 ? 8_540 : 9_104,
      lower: 8_000,
      upper: 12_000,
      uncertainty: 4,
      zone: 'pass',
      reason: null,
    },
  ],
  traces: [],
});
const runs = [run(firstRun, 1), run(secondRun, 0.28)];
const summary = (record: RunRecord) => ({ ...record, isVirtual });

const view = (): TrimView | null =>
  piece === null
    ? null
    : {
        serial: piece.serial,
        state: piece.state,
        mustRemeasure: piece.mustRemeasure,
        pass: piece.pass,
        passLimit: piece.passLimit,
        isPlanning: asked.get('piece') === 'sorting',
        settleLeftMs: Number(asked.get('settle') ?? 0),
        needleCell: null,
      };

// biome-ignore lint/suspicious/noExplicitAny: a fixture; the window checks every answer against the contract
type Answers = Readonly<Record<string, (input: any) => unknown>>;

const change = (next: TrimPiece): TrimPiece => {
  piece = next;
  tell({ kind: 'trimPiece', piece });
  return next;
};

const core: Answers = {
  snapshot: () => ({
    programVersion: '0.1.0',
    archivePath: '/home/kd/Faderwright/station.db',
    rig: {
      state: 'ready',
      reason: null,
      path: '/dev/ttyACM0',
      identity: { model: 'bench-1', serial: 'VR0001', firmware: '1.2.0', protocol: 1, isVirtual },
      positionMm: 0,
      interlocks: { guardClosed: true, emergencyStopReleased: true, clampClosed: true },
      calibrationState: 'valid',
      calibrationSentence: null,
      calibrationDueAt: sampleCalibration.dueAt,
    },
    run: null,
    trim: view(),
    virtual: isVirtual
      ? { path: '/dev/pts/3', seed: 7, size: 60, loadedSerial: planned.serial, nextSerial: 'PF104-26-48-00018' }
      : null,
  }),
  'settings.read': () => ({
    operators: ['KD', 'MT'],
    theme: asked.get('theme') ?? 'system',
    sound: false,
    decimalSign: 'point',
    firstStartDone: true,
    lastPort: null,
    lastLawId: 'PF-104',
  }),
  'runs.lastPieces': () => (piece === null ? [] : [summary(run(piece.runs.at(-1) ?? firstRun, 1))]),
  'runs.ofSerial': () => runs.map(summary),
  'run.read': ({ runId }) => runs.find((each) => each.runId === runId),
  'law.list': () => exampleLaws().map((data) => ({ data, runs: 0 })),
  'trim.piece': () => piece,
  'trim.batch': () => (piece === null ? { ...trimBatch, pieces: [] } : trimBatch),
  'trim.askCuts': () => change({ ...cutting(0), passes: cutting(0).passes }),
  'trim.cutsDone': ({ cuts }) => {
    if (cuts === 'all') return change(unmeasured);
    const made = (piece?.passes.at(-1)?.cutsDone.length ?? 0) + cuts.length;
    return change(made >= 10 ? unmeasured : cutting(made));
  },
  'trim.needle.start': ({ cellIndex }) => {
    tell({ kind: 'needle', needle: needle(cellIndex, 0.4) });
    return {};
  },
};

const needle = (cellIndex: number, approach: number, more: Partial<NeedleReading> = {}): NeedleReading => ({
  serial: planned.serial,
  cellIndex,
  state: 'live',
  reason: null,
  parkedMm: 33.02,
  atMs: 4_200,
  ratio: 0.0142,
  totalOhm: 8_560,
  startOhm: 66.4,
  nowOhm: 66.4 + 6.1 * approach,
  targetOhm: 73.3,
  stopOhm: 72.5,
  approach,
  rateOhmPerS: 0.8,
  stop: approach >= 1,
  over: false,
  ...more,
});
Object.assign(globalThis, { tell, needle });

const answer = async (answers: Answers, name: string, input: unknown): Promise<unknown> => {
  try {
    return { ok: true, output: (await answers[name]?.(input)) ?? {} };
  } catch (error) {
    return { ok: false, error: toErrorData(error) };
  }
};

const bridge: Bridge = {
  callCore: (name, input) => answer(core, name, input),
  callShell: () => Promise.resolve({ ok: true, output: {} }),
  onCoreEvent: (listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  },
  onCoreLife: (listener) => {
    queueMicrotask(() => listener({ state: 'running', reason: null }));
    return () => {};
  },
  onMenuWish: () => () => {},
};
Object.assign(globalThis, { faderwright: bridge });
