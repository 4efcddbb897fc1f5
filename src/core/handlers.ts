/** Each command of the contract, carried out by the station. Thin on purpose: the station knows how. */
import { statSync } from 'node:fs';
import type { RunFilter } from '../archive/find-runs.ts';
import type { FindQuery } from '../contract/commands.ts';
import type { CoreEvent, Snapshot } from '../contract/state.ts';
import { formatSerialNumber, isSerialNumber, parseSerialNumber } from '../fader/serial-number.ts';
import type { LawData } from '../law/law.ts';
import { listPorts } from '../rig/ports.ts';
import { openSerial } from '../rig/serial-transport.ts';
import { makeAndKeep, readDivider } from '../station/calibrating.ts';
import { examine } from '../station/doctor.ts';
import { BusyMeasuringError, UnknownRunError } from '../station/errors.ts';
import { replaceFile } from '../station/file-output.ts';
import { checkLawFile, findLaw, keptLaws, lawText, storeLaw } from '../station/law-desk.ts';
import type { LivePoint } from '../station/measuring.ts';
import { exportRuns, writeBatchReport } from '../station/paper.ts';
import { readPreferences, writePreferences } from '../station/settings-desk.ts';
import type { Station } from '../station/station.ts';
import type { Calibration } from '../trust/calibration.ts';
import type { LogRing } from './log-ring.ts';
import { makeMotionHandlers } from './motion-handlers.ts';
import type { Handlers } from './server.ts';
import { makeTrimHandlers } from './trim-handlers.ts';
import { programVersion } from './version.ts';
import type { VirtualRigDoor } from './virtual-rig.ts';

export interface HandlerNeeds {
  readonly station: Station;
  readonly virtual: VirtualRigDoor;
  readonly snapshot: () => Snapshot;
  readonly livePoints: () => readonly LivePoint[];
  readonly emit: (event: CoreEvent) => void;
  readonly log: LogRing;
  readonly now: () => Date;
  /** True = another station is at work on the same archive. */
  readonly isBesideStation: boolean;
}

/** How long a rig may take to answer after its port is opened. */
const connectPatienceMs = 5_000;

const asFilter = ({ limit: _limit, offset: _offset, ...query }: FindQuery): RunFilter =>
  Object.fromEntries(Object.entries(query).filter(([, value]) => value !== undefined));

export function makeHandlers(needs: HandlerNeeds): Handlers {
  const { station, virtual, snapshot, livePoints, emit, log, now, isBesideStation } = needs;
  const { archive, rigDesk } = station;
  const nothing = {};
  /** Asked for, but not yet known to the station. */
  let beginning: string | null = null;
  /** While a fader is measured nothing else may move the carriage or change what is connected or clamped. */
  const refuseIfMeasuring = (): void => {
    const serial = beginning ?? station.current?.measurement.order.serial ?? null;
    if (serial !== null) throw new BusyMeasuringError(serial);
    station.needle.refuseWhileOpen();
  };
  const refuseMotion = (): void => {
    refuseIfMeasuring();
    station.trim.hands.refuseMotion();
  };
  const motion = makeMotionHandlers(station, refuseMotion);
  /** What is asked for meanwhile is refused, not interleaved. */
  const begin = async <T>(text: string, start: (serial: string) => T): Promise<T> => {
    refuseIfMeasuring();
    const serial = formatSerialNumber(parseSerialNumber(text));
    station.trim.hands.refuseOther(serial);
    beginning = serial;
    try {
      await virtual.loadSerial(serial);
      motion.forgetApproach();
      return start(serial);
    } finally {
      beginning = null;
    }
  };
  return {
    snapshot,
    'rig.ports': async () =>
      (await listPorts()).map(({ path, vendor, product, serialNumber, problem }) => ({
        path,
        vendor,
        product,
        serial: serialNumber,
        problem: problem?.message ?? null,
      })),
    async 'rig.connect'({ path }) {
      refuseIfMeasuring();
      await virtual.stop();
      await rigDesk.connect(path, () => openSerial(path));
      await rigDesk.whenReady(connectPatienceMs);
      writePreferences(archive, { lastPort: path });
      return nothing;
    },
    async 'rig.disconnect'() {
      refuseIfMeasuring();
      await rigDesk.disconnect();
      await virtual.stop();
      return nothing;
    },
    'rig.calibrations': ({ rigSerial }) => archive.calibrations(rigSerial).map(({ data }) => data as Calibration),
    'rig.storeCalibration'({ calibration }) {
      archive.storeCalibration({ id: calibration.id, data: calibration });
      return nothing;
    },
    ...motion.handlers,
    ...makeTrimHandlers({
      ...{ station, virtual, now, refuseIfMeasuring, begin },
      refuseWhileMoving: motion.refuseWhileMoving,
    }),
    'rig.log': () => log.lines(),
    async 'calibrate.divider'({ nominalLossDb }) {
      refuseIfMeasuring();
      const { wiperCounts, trackCounts, wiperSdCounts, lossDb } = await readDivider(
        rigDesk.rig(),
        rigDesk.calibration(),
      );
      return { nominalLossDb, wiperCounts, trackCounts, sdCounts: wiperSdCounts, lossDb };
    },
    'calibrate.store'(order) {
      return { calibration: makeAndKeep(archive, rigDesk.rig(), rigDesk.calibration(), order, now()) };
    },
    async 'virtual.start'(request) {
      refuseIfMeasuring();
      const law = findLaw(archive, request.lawId, null);
      const { path, open, certificate, serials } = await virtual.start(request, law);
      station.trim.virtualFilmIsNew();
      if (archive.calibration(certificate.id) === null)
        archive.storeCalibration({ id: certificate.id, data: certificate });
      await rigDesk.connect(path, open);
      await rigDesk.whenReady(connectPatienceMs);
      return { path, serials: [...serials] };
    },
    'virtual.load': ({ index }) => {
      refuseIfMeasuring();
      return virtual.load(index);
    },
    'virtual.stop': async () => {
      refuseIfMeasuring();
      await rigDesk.disconnect();
      await virtual.stop();
      return nothing;
    },
    'virtual.fitDivider': async ({ lossDb }) => {
      refuseIfMeasuring();
      await virtual.fitDivider(lossDb);
      return nothing;
    },
    'virtual.interlocks': async (interlocks) => {
      await virtual.setInterlocks(interlocks);
      return nothing;
    },
    async 'run.start'(request) {
      station.trim.refuseOtherJob(request.serial);
      return begin(request.serial, (serial) =>
        station.start({ ...request, serial, lawRevision: request.lawRevision ?? null }),
      );
    },
    'run.wait': ({ runId }) => station.wait(runId),
    'run.pause': () => {
      station.pause();
      return nothing;
    },
    'run.resume': () => {
      station.resume();
      return nothing;
    },
    'run.stop': () => {
      station.stop('The operator stopped the run.');
      return nothing;
    },
    'run.livePoints': () => ({ points: [...livePoints()] }),
    'run.read'({ runId }) {
      const run = archive.run(runId);
      if (run === null) throw new UnknownRunError(runId);
      return run;
    },
    'runs.find': (query) => ({
      runs: archive.findRuns({
        ...asFilter(query),
        limit: query.limit ?? 100,
        ...(query.offset === undefined ? {} : { offset: query.offset }),
      }),
      total: archive.countRuns(asFilter(query)),
    }),
    'runs.lastPieces': ({ count }) => archive.lastPieces(count),
    'runs.ofSerial': ({ serial }) =>
      archive.runsOfSerial(isSerialNumber(serial) ? formatSerialNumber(parseSerialNumber(serial)) : serial),
    'law.list': () => keptLaws(archive),
    'law.check': ({ name, text, baseLawId }) => checkLawFile(archive, name, text, baseLawId),
    'law.store'({ law }) {
      storeLaw(archive, law as LawData);
      return nothing;
    },
    'law.write': async ({ id, revision, form, path }) => {
      await replaceFile(path, lawText(archive, id, revision, form));
      return nothing;
    },
    'law.whereUsed': ({ id, revision }) => archive.whereUsed(id, revision),
    'export.write': ({ query, what, path }) => exportRuns(archive, asFilter(query), what, path),
    'report.write': ({ batch, path, title }) =>
      writeBatchReport(archive, { batch, path, title, programVersion, madeAt: now().toISOString() }),
    async 'archive.backup'({ path }) {
      const { runs } = await archive.backup(path, ({ pagesDone, pagesTotal }) =>
        emit({ kind: 'transfer', what: 'backup', fraction: pagesTotal === 0 ? 1 : pagesDone / pagesTotal }),
      );
      return { runs, bytes: statSync(path).size };
    },
    'settings.read': () => readPreferences(archive),
    'settings.write': (change) =>
      writePreferences(archive, Object.fromEntries(Object.entries(change).filter(([, value]) => value !== undefined))),
    doctor: async () =>
      examine(archive, {
        programVersion,
        node: process.versions.node,
        platform: `${process.platform} ${process.arch}`,
        ptyProblem: await virtual.ptyProblem(),
        isBesideStation,
      }),
  };
}
