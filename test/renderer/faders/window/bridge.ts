/**
 * A canned core for the window: answers from seeded records, so that screens can be looked at and driven without a rig.
 * `?runs=512&virtual=1&laws=none` in the address choose what is on the station.
 */
import type { RunRecord } from '../../../../src/archive/records.ts';
import type { FindQuery } from '../../../../src/contract/commands.ts';
import { toErrorData } from '../../../../src/contract/errors.ts';
import type { Bridge } from '../../../../src/contract/shell.ts';
import { buildLaw } from '../../../../src/law/build.ts';
import { exampleLaws } from '../../../../src/law/examples.ts';
import type { LawData } from '../../../../src/law/law.ts';
import { readLawFile } from '../../../../src/law/law-file.ts';
import { programmeFader } from '../../../report/sample-laws.ts';
import { sampleCalibration } from '../../../report/sample-runs.ts';
import { fixtureRuns, glidesOf, summaryOf } from './records.ts';

/** The page this file is served to; the tests' own types know no browser. */
const page = globalThis as unknown as { readonly location: { readonly search: string }; readonly nextFile?: unknown };
const asked = new URLSearchParams(page.location.search);
const isVirtual = asked.get('virtual') === '1';
const runs: readonly RunRecord[] = fixtureRuns(programmeFader, Number(asked.get('runs') ?? '512'), 11, isVirtual);
/** The printed law lists its marks from the open end; a kept law from the closed end. */
const thirdRevision: LawData = {
  ...programmeFader,
  marks: programmeFader.marks.toSorted((a, b) => a.travelMm - b.travelMm),
};
const laws: LawData[] =
  asked.get('laws') === 'none'
    ? []
    : [...exampleLaws(), { ...thirdRevision, revision: 2, closedMinLossDb: 80 }, thirdRevision];
const listeners = new Set<(event: unknown) => void>();
const tell = (event: unknown): void => {
  for (const listener of listeners) listener(event);
};

const settings = {
  operators: ['KD', 'MT'],
  theme: asked.get('theme') ?? 'system',
  sound: false,
  decimalSign: 'point',
  firstStartDone: true,
  lastPort: null,
  lastLawId: 'PF-104',
};

function fits(run: RunRecord, query: FindQuery): boolean {
  return (
    (query.serialPart === undefined || run.serial.toLowerCase().includes(query.serialPart.toLowerCase())) &&
    (query.batch === undefined || run.batch === query.batch) &&
    (query.verdict === undefined || run.verdict === query.verdict) &&
    (query.from === undefined || run.startedAt >= query.from) &&
    (query.to === undefined || run.startedAt < query.to)
  );
}

// biome-ignore lint/suspicious/noExplicitAny: a fixture; the window checks every answer against the contract
type Answers = Readonly<Record<string, (input: any) => unknown>>;

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
    virtual: null,
  }),
  'settings.read': () => settings,
  'settings.write': (change) => ({ ...settings, ...change }),
  'runs.lastPieces': () => runs.slice(0, 40).map(summaryOf),
  'runs.find': (query: FindQuery) => {
    const hits = runs.filter((run) => fits(run, query));
    const offset = query.offset ?? 0;
    return { runs: hits.slice(offset, offset + (query.limit ?? 100)).map(summaryOf), total: hits.length };
  },
  'runs.ofSerial': ({ serial }) => runs.filter((run) => run.serial === serial).map(summaryOf),
  'run.read': ({ runId }) => {
    const run = runs.find((each) => each.runId === runId);
    if (run === undefined) throw new Error(`No run ${runId}.`);
    return { ...run, traces: run.outcome === 'completed' ? glidesOf(programmeFader, 5) : [] };
  },
  'rig.calibrations': () => [sampleCalibration],
  'law.list': () =>
    laws.map((data) => ({
      data,
      runs: runs.filter((run) => run.lawId === data.id && run.lawRevision === data.revision).length,
    })),
  'law.whereUsed': ({ id, revision }) => {
    const used = runs.filter((run) => run.lawId === id && run.lawRevision === revision);
    return {
      runs: used.length,
      serials: new Set(used.map((run) => run.serial)).size,
      firstStartedAt: used.at(-1)?.startedAt ?? null,
      lastStartedAt: used[0]?.startedAt ?? null,
    };
  },
  'law.check': ({ name, text, baseLawId }) => {
    const read = readLawFile(name, text);
    if (read.kind === 'law') return read;
    const base = laws.filter((law) => law.id === baseLawId).toSorted((a, b) => b.revision - a.revision)[0];
    if (base === undefined) return { kind: 'points', points: read.points.length, marks: read.marks.length };
    return {
      kind: 'law',
      law: buildLaw({ ...base, revision: base.revision + 1, points: read.points, marks: read.marks }),
    };
  },
  'law.store': ({ law }) => {
    laws.push(buildLaw(law));
    return {};
  },
  'law.write': () => ({}),
  'export.write': async ({ query }) => {
    for (const fraction of [0.2, 0.45, 0.7, 1]) {
      await new Promise((go) => setTimeout(go, Number(asked.get('slow') ?? '60')));
      tell({ kind: 'transfer', what: 'export', fraction });
    }
    return { runs: runs.filter((run) => fits(run, query)).length, bytes: 1_432_118 };
  },
  'report.write': () => ({
    runs: runs.length,
    nextSentence: 'Set 31 faders aside as rejected; send the figures to TFW.',
  }),
};

const shell: Answers = {
  'file.open': () => page.nextFile ?? null,
  'file.choosePath': ({ suggestedName }) => ({ path: `/home/kd/Documents/${suggestedName}` }),
};

const answer = async (answers: Answers, name: string, input: unknown): Promise<unknown> => {
  try {
    return { ok: true, output: (await answers[name]?.(input)) ?? {} };
  } catch (error) {
    return { ok: false, error: toErrorData(error) };
  }
};

const bridge: Bridge = {
  callCore: (name, input) => answer(core, name, input),
  callShell: (name, input) => answer(shell, name, input),
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
