/** What the command line's exit codes mean; printed by `faderwright --help` and in docs/command-line.md. */
export const exitCodes = {
  done: 0,
  defect: 1,
  usage: 2,
  rig: 3,
  archive: 4,
  notPass: 5,
  void: 6,
  interrupted: 130,
} as const;

export const exitCodeTable: readonly (readonly [number, string])[] = [
  [exitCodes.done, 'done; for measure: the fader passed'],
  [exitCodes.defect, 'a defect of the program; the message says what to send'],
  [exitCodes.usage, 'the words of the command, or a file given to it, are not right'],
  [exitCodes.rig, 'the rig, its line or its interlocks stand in the way'],
  [exitCodes.archive, 'the archive (database file) cannot be opened, read or written'],
  [exitCodes.notPass, 'measured and recorded, and the verdict is doubt or fail'],
  [exitCodes.void, 'recorded as void: nothing may be said of the fader, the reason is shown'],
  [exitCodes.interrupted, 'interrupted from the keyboard; the carriage was stopped'],
];

/** Every error code of the program that can reach the command line, by what it means to whoever called. */
const codesByMeaning: Readonly<Record<'defect' | 'usage' | 'rig' | 'archive' | 'interrupted', readonly string[]>> = {
  defect: [
    'defect',
    'core.gone',
    'contract.shape',
    'law.domain',
    'reportAssetMissing',
    'runState',
    'archiveAppendOnly',
    'archiveClosed',
    'archiveDefect',
    'duplicateRun',
    'notPlainData',
    'runRefused',
    'trimRefused',
    'unknownReference',
    'wireFormat',
    'wireFields',
    'wireLimits',
    'virtualClockIdle',
    'trim.solver',
    'trim.cutGeometry',
  ],
  usage: [
    'usage',
    'badQuery',
    'calibration.refused',
    'faderUnknown',
    'law.file',
    'law.invalid',
    'law.unknown',
    'parameterFile',
    'request.busy',
    'request.emptyBatch',
    'request.fileExists',
    'request.fileUnwritable',
    'request.nothingRunning',
    'request.unknownRun',
    'request.virtualRig',
    'archiveFileExists',
    'revisionFrozen',
    'rigLawFile',
    'serialNumberMalformed',
    'cutImpossible',
    'cuttingAlready',
    'trim.order',
    'trim.settling',
    'trim.unknownPiece',
  ],
  rig: [
    'rig.absent',
    'refused',
    'lineLost',
    'noAnswer',
    'incompatibleRig',
    'portBusy',
    'portPermission',
    'portMissing',
    'portUnusable',
    'meterData',
    'interlockOpen',
    'rigNotReady',
    'planRefused',
    'stall',
    'silenceStop',
    'rigRestarted',
    'ptyUnavailable',
    'rigMoving',
    'rigProcessGone',
    'trim.handsIn',
    'trim.needle',
    'trim.needleOpen',
    'trim.carriageMoving',
  ],
  archive: [
    'archive.folder',
    'archiveRuntime',
    'archiveNotFound',
    'archiveNewer',
    'archiveDamaged',
    'notAnArchive',
    'archiveBusy',
    'archiveFolder',
    'archiveFull',
    'archiveStorage',
  ],
  interrupted: ['cancelled', 'stopRequested', 'operatorDeclined'],
};

const meaningOf = new Map(
  Object.entries(codesByMeaning).flatMap(([meaning, codes]) =>
    codes.map((code) => [code, exitCodes[meaning as keyof typeof codesByMeaning]] as const),
  ),
);

/** Every error code with an exit code of its own; a code that is not here is a defect. */
export const knownErrorCodes: ReadonlySet<string> = new Set(meaningOf.keys());

/** The exit code that belongs to an error code such as `lineLost` or `archiveNewer`. */
export function exitCodeFor(errorCode: string): number {
  return meaningOf.get(errorCode) ?? exitCodes.defect;
}
