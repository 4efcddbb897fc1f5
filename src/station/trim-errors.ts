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
      `${serial} is being cut, so nothing may move. Say that the cuts are made, or end its trimming, before the carriage moves.`,
    );
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
