/**
 * Errors of the codec. A line that arrives damaged is not an error but a value (`parseLine`); these classes are for
 * a caller that breaks the rules, and for a rig whose well-formed answer contradicts itself.
 */

/** Our own side tried to send a line that the wire forbids: a defect of the program. */
export class WireFormatError extends Error {
  readonly code = 'wireFormat';
  readonly userFixable = false;
  constructor(message: string) {
    super(message);
    this.name = 'WireFormatError';
  }
}

/** A line with a right checksum whose fields are missing or contradict each other: a defect of the rig's firmware. */
export class WireFieldsError extends Error {
  readonly code = 'wireFields';
  readonly userFixable = false;
  /** The keys concerned. */
  readonly keys: readonly string[];
  constructor(message: string, keys: readonly string[]) {
    super(message);
    this.name = 'WireFieldsError';
    this.keys = keys;
  }
}

/** The rig does not report a limit that the station needs: its firmware is too old or too new. */
export class WireLimitsError extends Error {
  readonly code = 'wireLimits';
  readonly userFixable = true;
  /** Names of the limits concerned, e.g. `travelMaxUm`. */
  readonly names: readonly string[];
  constructor(message: string, names: readonly string[]) {
    super(message);
    this.name = 'WireLimitsError';
    this.names = names;
  }
}
