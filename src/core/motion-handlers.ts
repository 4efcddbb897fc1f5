/** The commands by which a person moves the carriage and reads the meter by hand. */
import { CancelledError } from '../rig/errors.ts';
import { readNow } from '../station/calibrating.ts';
import type { Station } from '../station/station.ts';
import { CarriageMovingError } from '../station/trim-errors.ts';
import { positionUmFor } from '../trust/apply.ts';
import type { Handlers } from './server.ts';

type MotionCommand = 'rig.home' | 'rig.creep' | 'rig.halt' | 'rig.limits' | 'rig.park' | 'rig.read' | 'rig.statistics';

export interface MotionHandlers {
  readonly handlers: Pick<Handlers, MotionCommand>;
  /** Something else moves the carriage from now on. */
  forgetApproach(): void;
  /** @throws CarriageMovingError while a move by keys goes on */
  refuseWhileMoving(): void;
}

/** @param refuseMotion throws while a fader is measured or cut */
export function makeMotionHandlers(station: Station, refuseMotion: () => void): MotionHandlers {
  const { rigDesk } = station;
  const nothing = {};
  /** The creep that is asked for; a halt calls it off even before it has reached the rig. */
  let jog: AbortController | null = null;
  /** The way of the last creep: on which side of the backlash the knob stands. */
  let approach: 'up' | 'down' | null = null;
  /** Moves by keys that have not ended yet. */
  let moving = 0;
  const moved = async <T>(move: () => Promise<T>): Promise<T> => {
    refuseMotion();
    moving += 1;
    try {
      return await move();
    } finally {
      moving -= 1;
    }
  };
  const handlers: MotionHandlers['handlers'] = {
    'rig.home': () =>
      moved(async () => {
        approach = null;
        const rig = rigDesk.rig();
        await rig.power(true);
        await rig.home();
        return nothing;
      }),
    'rig.creep': ({ targetMm, speedMmPerS }) =>
      moved(async () => {
        const rig = rigDesk.rig();
        const calibration = rigDesk.calibration();
        const targetUm = calibration === null ? targetMm * 1000 : positionUmFor(targetMm, 'still', calibration);
        approach = null;
        const { travelMinUm, travelMaxUm, creepSpeedMaxUmPerS } = rig.limits;
        jog?.abort();
        const mine = new AbortController();
        jog = mine;
        await rig.power(true, mine.signal);
        if (mine.signal.aborted) throw new CancelledError('creep');
        const toUm = Math.min(Math.max(targetUm, travelMinUm), travelMaxUm);
        const { positionUm } = await rig.status(mine.signal);
        approach = toUm > positionUm ? 'up' : toUm < positionUm ? 'down' : null;
        await rig.creep(toUm, Math.min(speedMmPerS * 1000, creepSpeedMaxUmPerS), mine.signal);
        return nothing;
      }),
    'rig.halt': async () => {
      jog?.abort();
      await station.needle.stop('The operator halted the carriage.');
      // A halt in the middle of a run ends the run: it must not go on with its next move.
      if (station.current?.measurement.run != null) station.stop('The operator halted the carriage.');
      else await rigDesk.rig().halt();
      return nothing;
    },
    'rig.limits': () => ({ ...rigDesk.rig().limits }),
    'rig.park': () =>
      moved(async () => {
        approach = null;
        const rig = rigDesk.rig();
        await rig.power(true);
        await rig.park();
        return nothing;
      }),
    'rig.read': async () => ({ ...(await readNow(rigDesk.rig(), rigDesk.calibration())), approach }),
    'rig.statistics'() {
      const { linesIn, linesOut, badLines, retransmissions, roundTripMedianMs, roundTripP99Ms } = rigDesk
        .rig()
        .statistics();
      return {
        linesSent: linesOut,
        linesReceived: linesIn,
        badLines,
        retransmissions,
        roundTripMedianMs,
        roundTripP99Ms,
      };
    },
  };
  return {
    handlers,
    forgetApproach() {
      approach = null;
    },
    refuseWhileMoving() {
      if (moving > 0) throw new CarriageMovingError();
    },
  };
}
