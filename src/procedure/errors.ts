/** What can end a procedure besides the rig's own errors. `code` is what other code compares. */

/** The base of this room's errors. */
export abstract class ProcedureError extends Error {
  abstract readonly code: string;
  abstract readonly userFixable: boolean;

  constructor(message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = new.target.name;
  }
}

/** An interlock is open, so nothing may move. */
export class InterlockOpenError extends ProcedureError {
  override readonly code = 'interlockOpen';
  override readonly userFixable = true;
}

/** The rig stands in a state from which the procedure cannot go on (position lost, motor off). */
export class RigNotReadyError extends ProcedureError {
  override readonly code = 'rigNotReady';
  override readonly userFixable = true;
}

/** A step asks for more than the rig allows; found before anything moved. */
export class PlanRefusedError extends ProcedureError {
  override readonly code = 'planRefused';
  override readonly userFixable = false;
}

/** The carriage met something hard. */
export class StallError extends ProcedureError {
  override readonly code = 'stall';
  override readonly userFixable = true;
}

/** The rig stopped by itself because it heard nothing for too long. */
export class SilenceStopError extends ProcedureError {
  override readonly code = 'silenceStop';
  override readonly userFixable = true;
}

/** The rig switched off and on again in mid-run. */
export class RigRestartedError extends ProcedureError {
  override readonly code = 'rigRestarted';
  override readonly userFixable = true;
}

/** The line went away in mid-run. */
export class RunLineLostError extends ProcedureError {
  override readonly code = 'lineLost';
  override readonly userFixable = true;
}

/** Somebody asked for the run to end. */
export class StopRequestedError extends ProcedureError {
  override readonly code = 'stopRequested';
  override readonly userFixable = true;
}

/** The operator declined to go on when asked, or nobody was there to be asked. */
export class OperatorDeclinedError extends ProcedureError {
  override readonly code = 'operatorDeclined';
  override readonly userFixable = true;
}

/** A run was asked to do what its state does not allow. */
export class RunStateError extends ProcedureError {
  override readonly code = 'runState';
  override readonly userFixable = false;
}
