import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ParameterFileError } from '../../firmware-protocol/virtual-rig/parameter-file.ts';
import { PtyUnavailableError } from '../../firmware-protocol/virtual-rig/pty.ts';
import { SideDoorError } from '../../firmware-protocol/virtual-rig/side-door.ts';
import * as archiveErrors from '../../src/archive/errors.ts';
import { exitCodeFor, exitCodes, exitCodeTable, knownErrorCodes } from '../../src/cli/exit-codes.ts';
import { UsageError } from '../../src/cli/session.ts';
import { ContractError, CoreGoneError, toErrorData } from '../../src/contract/errors.ts';
import { ArchivePlaceError } from '../../src/core/archive-place.ts';
import { VirtualRigError } from '../../src/core/virtual-rig.ts';
import { SerialNumberError } from '../../src/fader/serial-number.ts';
import { LawDomainError, LawFileError, LawInvalidError } from '../../src/law/problems.ts';
import * as procedureErrors from '../../src/procedure/errors.ts';
import * as rigErrors from '../../src/rig/errors.ts';
import * as stationErrors from '../../src/station/errors.ts';
import * as trimErrors from '../../src/station/trim-errors.ts';
import { SolverError } from '../../src/trim/solver.ts';
import { CutGeometryError } from '../../src/trim/squares.ts';
import { CalibrationRefusedError } from '../../src/trust/make-calibration.ts';
import { checkout } from './run-words.ts';

const { done, defect, usage, rig, archive, notPass, interrupted } = exitCodes;

/** Every class of every room that can reach the command line, with the code its meaning asks for. */
const cases: readonly (readonly [Error, number])[] = [
  [new UsageError('x'), usage],
  [new ContractError('A call', 'x'), defect],
  [new CoreGoneError('signal SIGKILL'), defect],
  [new TypeError('x'), defect],
  [new ArchivePlaceError('x'), archive],
  [new VirtualRigError('x'), usage],
  [new SerialNumberError('x', 'y'), usage],
  [new LawFileError([{ line: 1, message: 'x' }]), usage],
  [new LawInvalidError('x', []), usage],
  [new LawDomainError('x'), defect],
  [new CalibrationRefusedError('x'), usage],
  [new PtyUnavailableError('x'), rig],
  [new SideDoorError('faderUnknown', 'x'), usage],
  [new SideDoorError('rigMoving', 'x'), rig],
  [new SideDoorError('cutImpossible', 'x'), usage],
  [new SideDoorError('cuttingAlready', 'x'), usage],
  [new ParameterFileError('x'), usage],

  [new stationErrors.NoRigError(null), rig],
  [new stationErrors.BusyMeasuringError('x'), usage],
  [new stationErrors.NothingRunningError(), usage],
  [new stationErrors.UnknownLawError('x', null, []), usage],
  [new stationErrors.UnknownRunError('x'), usage],
  [new stationErrors.EmptyBatchError('x'), usage],
  [new stationErrors.FileExistsError('x'), usage],
  [new stationErrors.FileUnwritableError('x', new Error('y')), usage],

  [new trimErrors.NotTrimmedError('x'), usage],
  [new trimErrors.TrimOrderError('x'), usage],
  [new trimErrors.StillSettlingError('x', 3), usage],
  [new trimErrors.HandsInError('x'), rig],
  [new trimErrors.NeedleRefusedError('x'), rig],
  [new trimErrors.NeedleOpenError('x'), rig],
  [new trimErrors.CarriageMovingError(), rig],
  [new SolverError('x'), defect],
  [new CutGeometryError('x'), defect],

  [new rigErrors.RigRefusedError('home', 'guard'), rig],
  [new rigErrors.LineLostError('x', 'y'), rig],
  [new rigErrors.NoAnswerError('home', 3, 100), rig],
  [new rigErrors.CancelledError('home'), interrupted],
  [new rigErrors.IncompatibleRigError('x'), rig],
  [new rigErrors.PortBusyError('x', null), rig],
  [new rigErrors.PortPermissionError('x', { group: null, command: null }), rig],
  [new rigErrors.PortMissingError('x'), rig],
  [new rigErrors.PortUnusableError('x', 'y'), rig],
  [new rigErrors.MeterDataError('sense', 'x'), rig],

  [new procedureErrors.InterlockOpenError('x'), rig],
  [new procedureErrors.RigNotReadyError('x'), rig],
  [new procedureErrors.PlanRefusedError('x'), rig],
  [new procedureErrors.StallError('x'), rig],
  [new procedureErrors.SilenceStopError('x'), rig],
  [new procedureErrors.RigRestartedError('x'), rig],
  [new procedureErrors.RunLineLostError('x'), rig],
  [new procedureErrors.StopRequestedError('x'), interrupted],
  [new procedureErrors.OperatorDeclinedError('x'), interrupted],
  [new procedureErrors.RunStateError('x'), defect],

  [new archiveErrors.ArchiveRuntimeError('x'), archive],
  [new archiveErrors.ArchiveNotFoundError('x'), archive],
  [new archiveErrors.ArchiveNewerError('x', 9, 2, null, '1'), archive],
  [new archiveErrors.ArchiveDamagedError('x', ['y']), archive],
  [new archiveErrors.NotAnArchiveError('x', 'y'), archive],
  [new archiveErrors.ArchiveBusyError('x', 'y'), archive],
  [new archiveErrors.ArchiveFolderError('x', 'y'), archive],
  [new archiveErrors.ArchiveFullError('x'), archive],
  [new archiveErrors.ArchiveStorageError('x', 'y'), archive],
  [new archiveErrors.ArchiveAppendOnlyError('x'), defect],
  [new archiveErrors.ArchiveFileExistsError('x'), usage],
  [new archiveErrors.ArchiveClosedError('x'), defect],
  [new archiveErrors.DuplicateRunError('x', 'begun'), defect],
  [new archiveErrors.RunRefusedError('x', 'y'), defect],
  [new archiveErrors.TrimRefusedError('x', 'y'), defect],
  [new archiveErrors.UnknownReferenceError('x'), defect],
  [new archiveErrors.RevisionFrozenError('x'), usage],
  [new archiveErrors.NotPlainDataError('x', 'y'), defect],
  [new archiveErrors.BadQueryError('x'), usage],
  [new archiveErrors.ArchiveDefectError('x'), defect],
];

describe('the exit code of an error', () => {
  it.each(cases.map(([error, code]) => [error.name, error, code] as const))('%s', (_name, error, code) => {
    expect(exitCodeFor(toErrorData(error).code)).toBe(code);
  });

  it('is "a defect" for whatever nobody has named', () => {
    expect(exitCodeFor('nobody.named.this')).toBe(defect);
    expect(exitCodeFor('')).toBe(defect);
    expect(exitCodeFor('constructor')).toBe(defect);
  });

  it.each([
    ['station', stationErrors],
    ['station, trimming', trimErrors],
    ['rig', rigErrors],
    ['procedure', procedureErrors],
    ['archive', archiveErrors],
  ])('has a case above for every class of the room %s', (_room, errors) => {
    const tested = new Set(cases.map(([error]) => error.constructor));
    const classes = Object.values(errors).filter((one) => typeof one === 'function' && one.prototype instanceof Error);
    const untested = classes.filter(
      // The bases of the rooms are never thrown themselves.
      (one) => !tested.has(one) && !classes.some((other) => Object.getPrototypeOf(other) === one),
    );
    expect(untested.map((one) => (one as { name: string }).name)).toEqual([]);
  });

  it('is written down for every code in the sources', () => {
    const written = sources(['src', 'firmware-protocol'])
      .filter((path) => !path.includes(join('src', 'shell')))
      .flatMap((path) => [...readFileSync(path, 'utf8').matchAll(/readonly code(?:: \w+)? = '([\w.]+)'/g)])
      .map((match) => match[1] ?? '');
    expect(written.length).toBeGreaterThan(30);
    expect(written.filter((code) => !knownErrorCodes.has(code))).toEqual([]);
  });
});

describe('the table of exit codes', () => {
  it('explains each code once', () => {
    const codes = exitCodeTable.map(([code]) => code);
    expect(codes).toEqual(Object.values(exitCodes));
    expect(new Set(codes).size).toBe(codes.length);
    expect([done, notPass]).toEqual([0, 5]);
  });

  it('is the one in the user guide', () => {
    const guide = readFileSync(join(checkout, 'docs', 'command-line.md'), 'utf8');
    const rows = [...guide.matchAll(/^\| (\d+) \| (.+) \|$/gm)].map((row) => Number(row[1]));
    expect(rows).toEqual(exitCodeTable.map(([code]) => code));
  });
});

function sources(folders: readonly string[]): string[] {
  return folders.flatMap((folder) =>
    readdirSync(join(checkout, folder), { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.ts'))
      .map((name) => join(checkout, folder, name)),
  );
}
