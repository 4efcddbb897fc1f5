/**
 * What the window knows of the station: the core's snapshot, the readings of the run that is on, the last verdict, and
 * troubles. A mirror only: nothing here is a result, results are on disk.
 */
import type { PointRecord, RunSummary } from '../../src/archive/records.ts';
import type { CommandName, StationSettings } from '../../src/contract/commands.ts';
import type { ErrorData } from '../../src/contract/errors.ts';
import { CoreError, toErrorData } from '../../src/contract/errors.ts';
import type { CoreLife } from '../../src/contract/shell.ts';
import type { CoreEvent, Snapshot } from '../../src/contract/state.ts';
import type { NeedleReading, TrimPiece } from '../../src/contract/trim.ts';
import { callCore, failedAction, onCallSuccess, onCoreEvent, onCoreLife } from './calls.ts';
import { makeStore } from './store.ts';
import { actionOf, type Trouble, withoutAction, withTrouble } from './troubles.ts';

export interface LivePoint {
  readonly runId: string;
  readonly pointIndex: number;
  readonly travelMm: number;
  readonly direction: 'up' | 'down';
  readonly lossDb: number | null;
  readonly deviationDb: number | null;
}

export interface Recorded {
  readonly summary: RunSummary;
  readonly points: readonly PointRecord[];
  readonly nextStep: string;
}

export const snapshotStore = makeStore<Snapshot | null>(null);
export const lifeStore = makeStore<CoreLife>({ state: 'starting', reason: null });
export const livePointsStore = makeStore<readonly LivePoint[]>([]);
export const recordedStore = makeStore<Recorded | null>(null);
export const lastPiecesStore = makeStore<readonly RunSummary[]>([]);
/** The piece that is being trimmed, or was last; null = none since the window was loaded. */
export const trimPieceStore = makeStore<TrimPiece | null>(null);
/** The newest word of the live needle; null = none is open and the last one was put away. */
export const needleStore = makeStore<NeedleReading | null>(null);
export const troublesStore = makeStore<readonly Trouble[]>([]);
export const settingsStore = makeStore<StationSettings | null>(null);

const restarted = (message: string): CoreError =>
  new CoreError({ code: 'core.restarted', message, userFixable: false, details: [] });

let nextTrouble = 1;

function tell(error: ErrorData, action: string | null): void {
  troublesStore.set((now) => withTrouble(now, { id: nextTrouble++, error, action }));
}

/** Shows a failure to the person until it is put away, or until what failed is done with success. */
export const showTrouble = (error: unknown): void => tell(toErrorData(error), failedAction(error));

export const putAway = (id: number): void => troublesStore.set((now) => now.filter((trouble) => trouble.id !== id));

/**
 * Does something that may fail, and shows the failure.
 * @param aim the command that all of it is for: its success makes any failure on the way to it old news
 * @returns null when it failed
 */
export async function attempt<T>(work: () => Promise<T>, aim?: CommandName): Promise<T | null> {
  try {
    return await work();
  } catch (error) {
    tell(toErrorData(error), failedAction(error) ?? (aim === undefined ? null : actionOf(aim, null)));
    return null;
  }
}

const lastPiecesShown = 40;

async function readEverything(): Promise<void> {
  const snapshot = await callCore('snapshot', {});
  snapshotStore.set(snapshot);
  if (snapshot.run !== null) await catchUp(snapshot.run.runId);
  settingsStore.set(await callCore('settings.read', {}));
  lastPiecesStore.set(await callCore('runs.lastPieces', { count: lastPiecesShown }));
}

/** A window that was loaded anew in the middle of a run takes in what was read before; points that came meanwhile stay last. */
async function catchUp(runId: string): Promise<void> {
  const { points } = await callCore('run.livePoints', {});
  if (points[0]?.runId !== runId) return;
  livePointsStore.set((now) => [...points, ...now.slice(countHeld(points, now))]);
}

/** How many of the points heard by event the answer holds already: events and answers come in one order. */
function countHeld(points: readonly LivePoint[], heard: readonly LivePoint[]): number {
  const last = points.at(-1);
  const at = heard.findLastIndex(
    (point) =>
      point.pointIndex === last?.pointIndex && point.direction === last.direction && point.runId === last.runId,
  );
  return at + 1;
}

function onEvent(event: CoreEvent): void {
  if (event.kind === 'snapshot') {
    const before = snapshotStore.get()?.run?.runId ?? null;
    const now = event.snapshot.run?.runId ?? null;
    if (now !== null && now !== before) {
      livePointsStore.set([]);
      recordedStore.set(null);
    }
    snapshotStore.set(event.snapshot);
  } else if (event.kind === 'livePoint') {
    livePointsStore.set((points) => [...points, event.point]);
  } else if (event.kind === 'recorded') {
    recordedStore.set({ summary: event.summary, points: event.points, nextStep: event.nextStep });
    lastPiecesStore.set((pieces) =>
      [event.summary, ...pieces.filter((piece) => piece.serial !== event.summary.serial)].slice(0, lastPiecesShown),
    );
  } else if (event.kind === 'trimPiece') {
    trimPieceStore.set(event.piece);
  } else if (event.kind === 'needle') {
    needleStore.set(event.needle);
  } else if (event.kind === 'trouble') {
    tell(event.error, null);
  }
}

/** Begins to follow the core; whenever it comes (back), everything is read anew. */
export function followStation(): void {
  onCallSuccess((action) => troublesStore.set((now) => withoutAction(now, action)));
  onCoreEvent(onEvent);
  onCoreLife((life) => {
    lifeStore.set(life);
    // The restart is over within a second; why it was needed stays until somebody has read it.
    if (life.state === 'restarting' && life.reason !== null) showTrouble(restarted(life.reason));
    if (life.state === 'running') void attempt(readEverything);
    else if (life.state !== 'starting') snapshotStore.set((now) => (now === null ? null : { ...now, run: null }));
  });
  readEverything().catch((error: unknown) => {
    // While the core is not there its own note says why, and when it comes everything is read.
    if (lifeStore.get().state === 'running') showTrouble(error);
  });
}

export async function writeSettings(change: Partial<StationSettings>): Promise<void> {
  const written = await attempt(() => callCore('settings.write', change));
  if (written !== null) settingsStore.set(written);
}
