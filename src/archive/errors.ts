/** Everything the archive can refuse, one class per kind. `code` is stable; `message` is written for a person. */

export type ArchiveErrorCode =
  | 'archiveRuntime'
  | 'archiveNotFound'
  | 'archiveNewer'
  | 'archiveDamaged'
  | 'notAnArchive'
  | 'archiveBusy'
  | 'archiveFolder'
  | 'archiveFull'
  | 'archiveStorage'
  | 'archiveAppendOnly'
  | 'archiveFileExists'
  | 'archiveClosed'
  | 'duplicateRun'
  | 'runRefused'
  | 'trimRefused'
  | 'unknownReference'
  | 'revisionFrozen'
  | 'notPlainData'
  | 'badQuery'
  | 'archiveDefect';

export abstract class ArchiveError extends Error {
  readonly code: ArchiveErrorCode;
  /** True when the person at the bench can put it right without a programmer. */
  readonly userFixable: boolean;

  constructor(code: ArchiveErrorCode, userFixable: boolean, message: string, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause });
    this.name = new.target.name;
    this.code = code;
    this.userFixable = userFixable;
  }
}

/** The Node that runs the program cannot load the database library. */
export class ArchiveRuntimeError extends ArchiveError {
  constructor(message: string, cause?: unknown) {
    super('archiveRuntime', true, message, cause);
  }
}

/** Asked to open an existing archive only, and there is none. */
export class ArchiveNotFoundError extends ArchiveError {
  constructor(path: string) {
    super('archiveNotFound', true, `There is no archive at ${path}. Check the path; nothing was created.`);
  }
}

/** The file was written by a newer program; opening it could lose what that program added. */
export class ArchiveNewerError extends ArchiveError {
  readonly foundVersion: number;
  readonly knownVersion: number;
  constructor(path: string, foundVersion: number, knownVersion: number, writer: string | null, programVersion: string) {
    super(
      'archiveNewer',
      true,
      `${path} has archive version ${foundVersion}${writer === null ? '' : ` (written by program version ${writer})`}; ` +
        `this program (version ${programVersion}) knows archive versions up to ${knownVersion}. ` +
        'Nothing was changed. Start the newer program, or open a backup made with this version.',
    );
    this.foundVersion = foundVersion;
    this.knownVersion = knownVersion;
  }
}

/** The file is an archive but its content is not whole. */
export class ArchiveDamagedError extends ArchiveError {
  /** What the check found, one finding per line. */
  readonly findings: readonly string[];
  constructor(path: string, findings: readonly string[], cause?: unknown) {
    super(
      'archiveDamaged',
      true,
      `${path} is damaged (${findings.slice(0, 3).join('; ')}). Nothing was changed. ` +
        'Stop using it, keep the file and its -wal companion as they are, and restore the latest backup.',
      cause,
    );
    this.findings = findings;
  }
}

/** The file is something else: not a database, or another program's database. */
export class NotAnArchiveError extends ArchiveError {
  constructor(path: string, what: string, cause?: unknown) {
    super('notAnArchive', true, `${path} is not an archive: ${what}. Nothing was changed. Choose another file.`, cause);
  }
}

/** Another program holds the archive. */
export class ArchiveBusyError extends ArchiveError {
  constructor(path: string, detail: string, cause?: unknown) {
    super(
      'archiveBusy',
      true,
      `${path} is in use by another program (${detail}). Close the other program, then try again.`,
      cause,
    );
  }
}

/** The folder or file cannot be written, or the folder is missing. */
export class ArchiveFolderError extends ArchiveError {
  constructor(path: string, detail: string, cause?: unknown) {
    super(
      'archiveFolder',
      true,
      `${path} cannot be written (${detail}). The archive needs a folder where this user may create files ` +
        '(it keeps companions ending in -wal and -shm beside the file). Change the permission or choose another place.',
      cause,
    );
  }
}

/** No room: the transaction was undone whole. */
export class ArchiveFullError extends ArchiveError {
  constructor(path: string, cause?: unknown) {
    super(
      'archiveFull',
      true,
      `No room left to write ${path}. What was being written was undone whole; everything recorded before is kept. ` +
        'Free space on that disk, then repeat.',
      cause,
    );
  }
}

/** The disk or network drive answered with an error. */
export class ArchiveStorageError extends ArchiveError {
  constructor(path: string, detail: string, cause?: unknown) {
    super(
      'archiveStorage',
      true,
      `The storage under ${path} answered with an error (${detail}). Check the drive and its connection, then start again; ` +
        'make a backup before going on.',
      cause,
    );
  }
}

/** A trigger of the database refused to change or delete something recorded. */
export class ArchiveAppendOnlyError extends ArchiveError {
  constructor(message: string, cause?: unknown) {
    super('archiveAppendOnly', false, message, cause);
  }
}

/** A backup never overwrites. */
export class ArchiveFileExistsError extends ArchiveError {
  constructor(path: string) {
    super(
      'archiveFileExists',
      true,
      `${path} exists already and was left as it is. Choose another name or move it away.`,
    );
  }
}

/** Used after `close()`. */
export class ArchiveClosedError extends ArchiveError {
  constructor(path: string) {
    super('archiveClosed', false, `The archive ${path} is closed. Open it again before using it.`);
  }
}

/** A run with this id was recorded or begun before. */
export class DuplicateRunError extends ArchiveError {
  readonly runId: string;
  constructor(runId: string, state: 'recorded' | 'begun') {
    super(
      'duplicateRun',
      false,
      `Run ${runId} was ${state} before; a run is written once. Give the new run its own id.`,
    );
    this.runId = runId;
  }
}

/** The run breaks a rule of the archive; nothing of it was written. */
export class RunRefusedError extends ArchiveError {
  constructor(runId: string, detail: string, cause?: unknown) {
    super('runRefused', false, `Run ${runId} was not recorded: ${detail}. Nothing of it was written.`, cause);
  }
}

/** An event of trimming breaks a rule of the archive; nothing of it was written. */
export class TrimRefusedError extends ArchiveError {
  constructor(what: string, detail: string, cause?: unknown) {
    super('trimRefused', false, `Trimming of ${what} was not recorded: ${detail}. Nothing of it was written.`, cause);
  }
}

/** A law revision, calibration or run that is not in the archive. */
export class UnknownReferenceError extends ArchiveError {
  constructor(what: string) {
    super('unknownReference', false, `${what} is not in the archive. Store it first.`);
  }
}

/** Different content for a stored law revision or calibration. */
export class RevisionFrozenError extends ArchiveError {
  constructor(what: string) {
    super(
      'revisionFrozen',
      true,
      `${what} is stored already with other content and is never changed. Give the changed content the next revision or a new id.`,
    );
  }
}

/** Data that JSON cannot hold without loss. */
export class NotPlainDataError extends ArchiveError {
  constructor(where: string, detail: string) {
    super('notPlainData', false, `${where} ${detail}, which cannot be stored without loss. Hand in plain data.`);
  }
}

/** A search that makes no sense. */
export class BadQueryError extends ArchiveError {
  constructor(detail: string) {
    super('badQuery', true, `The search cannot be done: ${detail}.`);
  }
}

/** A database answer the program did not expect: a defect. */
export class ArchiveDefectError extends ArchiveError {
  constructor(message: string, cause?: unknown) {
    super('archiveDefect', false, message, cause);
  }
}
