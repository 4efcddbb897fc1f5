/** What trimming refuses. All are for the person at the bench to mend. */
import { StationError } from './errors.ts';

export class NotTrimmedError extends StationError {
  readonly code = 'trim.unknownPiece';
  override readonly name = 'NotTrimmedError';

  constructor(serial: string) {
    super(`${serial} was never measured for trimming. Measure it first.`);
  }
}

export class TrimOrderError extends StationError {
  readonly code = 'trim.order';
  override readonly name = 'TrimOrderError';
}

export class StillSettlingError extends StationError {
  readonly code = 'trim.settling';
  override readonly name = 'StillSettlingError';

  constructor(serial: string, leftS: number) {
    super(
      `${serial} was cut a moment ago. Take the dust away and wait ${leftS} s more until it has cooled, then measure.`,
    );
  }
}

export class HandsInError extends StationError {
  readonly code = 'trim.handsIn';
  override readonly name = 'HandsInError';

  constructor(serial: string) {
    super(
      `The cuts of ${serial} were asked for, so hands may be at the track and nothing may move. Say that they are made, measure it, or give it up first: scan it under the job Trim.`,
    );
  }
}

/** Hands must not come near while somebody moves the carriage by its keys. */
export class CarriageMovingError extends StationError {
  readonly code = 'trim.carriageMoving';
  override readonly name = 'CarriageMovingError';

  constructor() {
    super('The carriage is being moved by its keys. Halt it or wait until it stands, then ask for the cuts again.');
  }
}

/** A live needle stands: the wiper and the hand are at the track. */
export class NeedleOpenError extends StationError {
  readonly code = 'trim.needleOpen';
  override readonly name = 'NeedleOpenError';

  constructor(serial: string) {
    super(`The live needle of ${serial} is open. Take the tool away and close the needle first.`);
  }
}

export class NeedleRefusedError extends StationError {
  readonly code = 'trim.needle';
  override readonly name = 'NeedleRefusedError';
}
