/** The commands of trimming, carried out by the station. */
import type { TrimSettings } from '../contract/trim.ts';
import type { Station } from '../station/station.ts';
import { writeTrimReport } from '../station/trim-paper.ts';
import type { Handlers } from './server.ts';
import { programVersion } from './version.ts';
import type { VirtualRigDoor } from './virtual-rig.ts';

type TrimCommand = Extract<keyof Handlers, `trim.${string}` | 'virtual.applyCuts' | 'virtual.cutLive'>;

export type TrimHandlers = Pick<Handlers, TrimCommand>;

export interface TrimHandlerNeeds {
  readonly station: Station;
  readonly virtual: VirtualRigDoor;
  readonly now: () => Date;
  /** Throws while a fader is measured. */
  readonly refuseIfMeasuring: () => void;
  /** Throws while the carriage is moved by its keys. */
  readonly refuseWhileMoving: () => void;
  /** Puts the fader of this serial into the virtual clamp, keeps others from beginning meanwhile, then measures. */
  readonly begin: <T>(serial: string, start: (serial: string) => T) => Promise<T>;
}

export function makeTrimHandlers({
  station,
  virtual,
  now,
  refuseIfMeasuring,
  refuseWhileMoving,
  begin,
}: TrimHandlerNeeds): TrimHandlers {
  const { trim, needle } = station;
  const nothing = {};
  return {
    'trim.start': (request) =>
      begin(request.serial, (serial) =>
        trim.start({ ...request, serial, lawRevision: request.lawRevision ?? null, tool: request.tool }),
      ),
    'trim.wait': ({ runId }) => trim.wait(runId),
    'trim.piece': ({ serial }) => trim.piece(serial),
    async 'trim.askCuts'({ serial, operator }) {
      refuseIfMeasuring();
      refuseWhileMoving();
      return trim.askCuts(serial, operator);
    },
    async 'trim.cutsDone'({ serial, operator, cuts }) {
      const wasOpen = needle.current !== null;
      await needle.stop('The cuts are made.');
      const piece = wasOpen ? trim.piece(serial) : null;
      if (piece === null) return trim.cutsDone(serial, operator, cuts);
      // What was cut under the needle counts as made since it closed.
      const made = piece.passes.at(-1)?.cutsDone ?? [];
      const left = cuts === 'all' ? cuts : cuts.filter((number) => !made.includes(number));
      return piece.state === 'cutsDone' || left.length === 0 ? piece : trim.cutsDone(serial, operator, left);
    },
    async 'trim.end'({ serial, operator, reason }) {
      await needle.stop('The trimming was ended.');
      return trim.end(serial, operator, reason);
    },
    'trim.batch': ({ batch }) => trim.batch(batch),
    'trim.report': (order) =>
      writeTrimReport(station.archive, { ...order, programVersion, madeAt: now().toISOString() }),
    'trim.renewTool'(renewal) {
      trim.renewTool(renewal);
      return nothing;
    },
    async 'trim.needle.start'({ serial, operator, cellIndex }) {
      refuseWhileMoving();
      await needle.start(serial, operator, cellIndex);
      return nothing;
    },
    async 'trim.needle.stop'() {
      await needle.stop('The operator closed the needle.');
      return nothing;
    },
    'trim.settings.read': () => trim.settings(),
    'trim.settings.write': (change) =>
      trim.writeSettings(
        Object.fromEntries(Object.entries(change).filter(([, value]) => value !== undefined)) as Partial<TrimSettings>,
      ),
    'virtual.applyCuts': ({ cuts, toolId }) => virtual.applyCuts(cuts, toolId),
    async 'virtual.cutLive'({ cut }) {
      await virtual.cutLive(cut);
      return nothing;
    },
  };
}
