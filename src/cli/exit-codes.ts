/** What the command line's exit codes mean; printed by `faderwright help exit-codes` and in the user guide. */
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

/** The exit code that belongs to an error code such as `rig.lineLost` or `archive.newer`. */
export function exitCodeFor(errorCode: string): number {
  const room = errorCode.split('.')[0];
  if (room === 'rig' || room === 'port' || room === 'line') return exitCodes.rig;
  if (room === 'archive') return exitCodes.archive;
  if (room === 'usage' || room === 'law' || room === 'calibration' || room === 'serial' || room === 'request')
    return exitCodes.usage;
  return exitCodes.defect;
}
