/** Puts archive, station, virtual rig and contract together. Runs in a process of its own. */
import { randomInt, randomUUID } from 'node:crypto';
import type { Archive } from '../archive/archive.ts';
import { openArchive } from '../archive/open.ts';
import { toErrorData } from '../contract/errors.ts';
import type { Channel } from '../contract/messages.ts';
import type { CoreEvent, Snapshot } from '../contract/state.ts';
import type { LivePoint } from '../station/measuring.ts';
import { Station } from '../station/station.ts';
import { prepareArchiveFolder } from './archive-place.ts';
import { besideHandlers } from './beside.ts';
import { makeHandlers } from './handlers.ts';
import { logRing } from './log-ring.ts';
import { type Handlers, serve } from './server.ts';
import { announcer } from './snapshots.ts';
import { programVersion } from './version.ts';
import { VirtualRigDoor } from './virtual-rig.ts';

/** Twenty-five times a second is more than a carriage on a screen needs. */
const snapshotEveryMs = 40;
const logLines = 500;

export interface Core {
  /** Stops motion, commits what runs, closes everything. */
  close(): Promise<void>;
}

/**
 * Opens the archive and begins to answer calls. A failure is told to the other side and answered with null.
 * `mustExist`: an archive that is not there is refused, not made. `beside`: the core neither measures nor connects, so it
 * may work while a station does.
 */
export function startCore(
  channel: Channel,
  archivePath: string,
  { mustExist = false, beside = false } = {},
): Core | null {
  let handlers: Handlers | null = null;
  const server = serve(channel, () => handlers);
  const now = (): Date => new Date();
  const log = logRing(logLines, now);
  let station: Station | null = null;
  let opened: Archive | null = null;
  let asked: string | null = null;
  let isBesideStation = false;
  /** Of the newest run. */
  let livePoints: LivePoint[] = [];

  const snapshot = (): Snapshot => {
    const run = station?.current ?? null;
    return {
      programVersion,
      archivePath,
      rig: station?.rigDesk.view() ?? emptyRig,
      run:
        run === null
          ? null
          : {
              runId: run.measurement.order.runId,
              serial: run.measurement.order.serial,
              lawId: run.measurement.order.law.id,
              lawRevision: run.measurement.order.law.revision,
              state: shownState(run.progress?.state),
              waitingFor: asked,
              doing: run.progress?.doing ?? 'Beginning',
              stepIndex: run.progress?.stepIndex ?? 0,
              stepCount: run.progress?.stepCount ?? 0,
              fraction: run.progress?.fraction ?? 0,
              timeLeftMs: run.progress?.timeLeftMs ?? 0,
            },
      trim: station?.trimGlance() ?? null,
      virtual: virtual.view(),
    };
  };
  const announce = announcer(() => server.emit({ kind: 'snapshot', snapshot: snapshot() }), snapshotEveryMs);
  const virtual = new VirtualRigDoor(now, () => announce.changed());
  const emit = (event: CoreEvent): void => server.emit(event);

  try {
    if (!mustExist) prepareArchiveFolder(archivePath);
    const archive = openArchive(archivePath, { programVersion, now, create: !mustExist });
    opened = archive;
    station = new Station({
      archive,
      programVersion,
      now,
      newId: randomUUID,
      random16: () => randomInt(0x10000),
      log: (text) => log.add(text),
      trimListener: {
        piece(piece) {
          announce.flush();
          emit({ kind: 'trimPiece', piece });
        },
        needle: (needle) => emit({ kind: 'needle', needle }),
      },
      listener: {
        changed() {
          // Whatever was asked for is done as soon as the run takes its next step.
          if (station?.current?.progress?.doing !== 'Waiting for the operator') asked = null;
          announce.changed();
        },
        livePoint(point) {
          if (livePoints[0]?.runId !== point.runId) livePoints = [];
          livePoints.push(point);
          emit({ kind: 'livePoint', point });
        },
        recorded(summary, verdict) {
          announce.flush();
          emit({ kind: 'recorded', summary, points: [...verdict.points], nextStep: verdict.nextStep });
        },
        asked(runId, question) {
          asked = question;
          emit({ kind: 'ask', runId, question });
          announce.changed();
        },
        rigEvent: (event) => log.add(`rig event ${event.kind}${'reason' in event ? `: ${event.reason}` : ''}`),
        trouble: (error) => emit({ kind: 'trouble', error: toErrorData(error) }),
      },
    });
    if (beside) isBesideStation = station.openBeside();
    else station.open();
  } catch (error) {
    station = null;
    opened?.close();
    server.failed(error);
    return null;
  }
  const all = makeHandlers({
    ...{ station, virtual, snapshot, emit, log, now, isBesideStation },
    livePoints: () => livePoints,
  });
  handlers = beside ? besideHandlers(all) : all;
  server.ready();
  return {
    async close() {
      await station?.close();
      await virtual.stop();
      announce.stop();
    },
  };
}

const shownState = (state: string | undefined): 'running' | 'pausing' | 'paused' | 'stopping' | 'ended' =>
  state === 'pausing' || state === 'paused' || state === 'stopping' || state === 'ended' ? state : 'running';

const emptyRig: Snapshot['rig'] = {
  state: 'absent',
  reason: null,
  path: null,
  identity: null,
  positionMm: null,
  interlocks: null,
  calibrationState: null,
  calibrationSentence: null,
  calibrationDueAt: null,
};
