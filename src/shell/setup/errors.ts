/** A step of the set-up that could not be done; `message` says what happened, to what, and what to do. */
export class SetupError extends Error {
  readonly code: string;
  readonly userFixable: boolean;

  constructor(code: string, message: string, options: { userFixable: boolean; cause?: unknown }) {
    super(message, options.cause === undefined ? undefined : { cause: options.cause });
    this.name = new.target.name;
    this.code = code;
    this.userFixable = options.userFixable;
  }
}

/** No Electron can be had on this machine: neither its own nor the fallback. */
export class RuntimeUnavailableError extends SetupError {
  constructor(message: string, cause?: unknown) {
    super('RUNTIME_UNAVAILABLE', message, { userFixable: true, cause });
  }
}

/** The fetched package is not what the registry and this program expect. */
export class PackageIntegrityError extends SetupError {
  constructor(message: string) {
    super('PACKAGE_INTEGRITY', message, { userFixable: false });
  }
}

/** A program called by the set-up (npm, tar, apt-get ...) failed; its own last words are in the message. */
export class ToolFailedError extends SetupError {
  constructor(message: string, cause?: unknown) {
    super('TOOL_FAILED', message, { userFixable: true, cause });
  }
}
