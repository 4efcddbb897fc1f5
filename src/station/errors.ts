/** What the station refuses, one class per kind. All are for the person at the bench to mend. */
import { diskWords } from './disk.ts';

export abstract class StationError extends Error {
  abstract readonly code: string;
  readonly userFixable = true;
}

export class NoRigError extends StationError {
  readonly code = 'rig.absent';
  override readonly name = 'NoRigError';

  constructor(reason: string | null) {
    super(
      `No rig is ready${reason === null ? '' : `: ${reason.replace(/\.$/, '')}`}. Connect one (rig list shows the ports), or use a virtual rig.`,
    );
  }
}

export class BusyMeasuringError extends StationError {
  readonly code = 'request.busy';
  override readonly name = 'BusyMeasuringError';

  constructor(serial: string) {
    super(`${serial} is being measured. Wait for its verdict or stop that run first.`);
  }
}

export class NothingRunningError extends StationError {
  readonly code = 'request.nothingRunning';
  override readonly name = 'NothingRunningError';

  constructor() {
    super('Nothing is being measured, so there is nothing to pause, resume, answer or stop.');
  }
}

export class UnknownLawError extends StationError {
  readonly code = 'law.unknown';
  override readonly name = 'UnknownLawError';

  constructor(id: string, revision: number | null, known: readonly string[]) {
    const what = revision === null ? id : `${id} revision ${revision}`;
    super(
      `There is no law ${what}. Known laws: ${known.length === 0 ? 'none' : known.join(', ')}. Add one with law add FILE.`,
    );
  }
}

export class UnknownRunError extends StationError {
  readonly code = 'request.unknownRun';
  override readonly name = 'UnknownRunError';

  constructor(runId: string) {
    super(`There is no run ${runId}. Look for the serial instead: fader SERIAL.`);
  }
}

export class EmptyBatchError extends StationError {
  readonly code = 'request.emptyBatch';
  override readonly name = 'EmptyBatchError';

  constructor(batch: string) {
    super(`Batch ${batch} has no run yet, so there is nothing to report. Measure a fader of it first.`);
  }
}

export class FileExistsError extends StationError {
  readonly code = 'request.fileExists';
  override readonly name = 'FileExistsError';

  constructor(path: string) {
    super(`${path} is there already and is not overwritten. Give another name, or move it away.`);
  }
}

export class FileUnwritableError extends StationError {
  readonly code = 'request.fileUnwritable';
  override readonly name = 'FileUnwritableError';

  constructor(path: string, cause: unknown) {
    super(`Cannot write ${path}: ${diskWords(cause)}. Give another place, or mend what stands in the way.`, { cause });
  }
}
