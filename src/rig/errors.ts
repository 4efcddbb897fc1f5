import { isRefusalCode, refusals } from '../../firmware-protocol/codec/index.ts';

/**
 * Everything that can go wrong between the program and a rig, one class per kind. `code` is stable and is what
 * other code compares; the message says what happened, to what, and what to do.
 */
export type RigErrorCode =
  | 'refused'
  | 'lineLost'
  | 'noAnswer'
  | 'cancelled'
  | 'incompatibleRig'
  | 'portBusy'
  | 'portPermission'
  | 'portMissing'
  | 'portUnusable'
  | 'meterData';

export abstract class RigError extends Error {
  abstract readonly code: RigErrorCode;
  /** True when a person at the bench can mend it without changing the program. */
  abstract readonly userFixable: boolean;

  constructor(message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = new.target.name;
  }
}

/** The rig answered no. `refusal` is its own code (see firmware-protocol/SPEC.md). */
export class RigRefusedError extends RigError {
  override readonly code = 'refused';
  override readonly userFixable: boolean;
  readonly refusal: string;
  readonly word: string;
  /** The field the refusal is about, when the rig names one. */
  readonly at: string | null;
  /** Numbers the rig added, e.g. `lo` and `hi` of a version refusal. */
  readonly details: Readonly<Record<string, number>>;

  constructor(word: string, refusal: string, at: string | null = null, details: Readonly<Record<string, number>> = {}) {
    const known = isRefusalCode(refusal) ? refusals[refusal] : null;
    const meaning = known?.meaning ?? `It gave a reason this program does not know ('${refusal}').`;
    const where = at === null ? '' : ` (field '${at}')`;
    const remedy = known?.operatorAction ?? 'Note the versions of the program and of the rig and report it.';
    super(`The rig refused '${word}'${where}. ${meaning} ${remedy}`);
    this.userFixable = known !== null && known.operatorAction !== null;
    this.refusal = refusal;
    this.word = word;
    this.at = at;
    this.details = details;
  }
}

/** The line is closed or silent. The carriage stops by the rig's own watchdog. */
export class LineLostError extends RigError {
  override readonly code = 'lineLost';
  override readonly userFixable = true;
  /** Port name. */
  readonly port: string;
  /** What the link noticed, or the system's own words: for the log, not for the record. */
  readonly reason: string;

  constructor(port: string, reason: string, options?: ErrorOptions) {
    super(
      `The line to the rig on ${port} was lost. The rig stops its carriage by itself. Check the cable and the rig's supply; the program reconnects when the rig is back.`,
      options,
    );
    this.port = port;
    this.reason = reason;
  }
}

/** The line lives but one order was never answered, although it was sent again several times. */
export class NoAnswerError extends RigError {
  override readonly code = 'noAnswer';
  override readonly userFixable = false;
  readonly word: string;
  readonly attempts: number;

  constructor(word: string, attempts: number, waitedMs: number) {
    super(
      `The rig did not answer '${word}' (sent ${attempts} times in ${Math.round(waitedMs)} ms). It was told to halt. Try again; if it returns, switch the rig off and on and look at the line statistics.`,
    );
    this.word = word;
    this.attempts = attempts;
  }
}

/** The caller's signal fired. A motion was halted and stood still before this was raised. */
export class CancelledError extends RigError {
  override readonly code = 'cancelled';
  override readonly userFixable = true;

  constructor(what: string, options?: ErrorOptions) {
    super(`'${what}' was cancelled; the carriage stands still. Start it again when ready.`, options);
  }
}

/** The port answers, but not as a rig this program can work with. */
export class IncompatibleRigError extends RigError {
  override readonly code = 'incompatibleRig';
  override readonly userFixable = true;
}

/** Another program, or another window of this one, holds the port. */
export class PortBusyError extends RigError {
  override readonly code = 'portBusy';
  override readonly userFixable = true;
  readonly port: string;
  /** Who holds the port, e.g. `process 4711 (node)`, or null when the system does not tell. */
  readonly holder: string | null;

  constructor(port: string, holder: string | null, options?: ErrorOptions) {
    super(
      `The port ${port} is in use by ${holder ?? 'another program'}. Close that program (or the other window of this one), then try again.`,
      options,
    );
    this.port = port;
    this.holder = holder;
  }
}

/** The system does not let this user open the port. */
export class PortPermissionError extends RigError {
  override readonly code = 'portPermission';
  override readonly userFixable = true;
  readonly port: string;
  /** The group that may use the port, or null when the system does not tell. */
  readonly group: string | null;
  /** The exact command that grants the permission, or null when there is none. */
  readonly command: string | null;

  constructor(port: string, advice: { readonly group: string | null; readonly command: string | null }) {
    const { group, command } = advice;
    const remedy =
      command === null
        ? `Ask the administrator of this machine for the right to read and write ${port}.`
        : `Run this once:  ${command}  Then log out and in again (or restart the machine).`;
    const who = group === null ? 'this user may not open it' : `only members of the group '${group}' may open it`;
    super(`No permission for the port ${port}: ${who}. ${remedy}`);
    this.port = port;
    this.group = group;
    this.command = command;
  }
}

export class PortMissingError extends RigError {
  override readonly code = 'portMissing';
  override readonly userFixable = true;
  readonly port: string;

  constructor(port: string, options?: ErrorOptions) {
    super(
      `There is no port ${port}. Plug the rig in and switch it on, then choose the port again: its name may have changed.`,
      options,
    );
    this.port = port;
  }
}

/** The port exists and may be opened, but it is not a serial line or its driver failed. */
export class PortUnusableError extends RigError {
  override readonly code = 'portUnusable';
  override readonly userFixable = true;
  readonly port: string;

  constructor(port: string, cause: unknown) {
    const detail = cause instanceof Error ? cause.message : String(cause);
    super(
      `The port ${port} could not be opened as a serial line (${detail}). Choose another port, or unplug the rig and plug it in again.`,
      { cause },
    );
    this.port = port;
  }
}

/** An answer passed its checksum but does not mean what the protocol says it must. */
export class MeterDataError extends RigError {
  override readonly code = 'meterData';
  override readonly userFixable = false;

  constructor(word: string, detail: string, options?: ErrorOptions) {
    super(
      `The rig's answer to '${word}' makes no sense: ${detail}. The value was thrown away. Note the rig's firmware version and report it.`,
      options,
    );
  }
}
